import type { FigureList } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Choice, TextField } from '../parts/field.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { say, sayOr } from '../words/say.js';
import { FigureCard } from './figure-card.js';
import { figureName, figureSource, figureUnit } from './figure-words.js';

const SPECIES = ['eastern-oyster', 'pacific-oyster', 'hard-clam'] as const;
type Species = (typeof SPECIES)[number];

type View = FigureList['figures'][number];

const groupOf = ({ figure }: View): string => figure.name.split('.')[0] ?? '';

/** Whether a figure holds what is searched for: in its name, words, unit or source. */
function holds({ figure }: View, search: string): boolean {
  const texts = [figure.name, figureName(figure), figureUnit(figure), figureSource(figure)];
  return texts.some((text) => text.toLowerCase().includes(search.trim().toLowerCase()));
}

/** Every figure that plans are worked out with, in groups, each with its source and what was done to it. */
export function FiguresScreen(): VNode {
  const [species, setSpecies] = useState<Species>('eastern-oyster');
  const [search, setSearch] = useState('');
  const { value, trouble, again } = useAnswer(
    () => ask<'getFigures'>('get', '/figures/{species}', { at: { species } }),
    [species],
  );
  const found = (value?.figures ?? []).filter((one) => holds(one, search));
  const groups = [...new Set(found.map(groupOf))];
  return (
    <div class="stack page">
      <h1>{say('nav.figures')}</h1>
      <p class="soft">{say('figure.how')}</p>
      <div class="columns">
        <Choice
          label={say('batch.species')}
          value={species}
          options={SPECIES.map((one) => ({ value: one, label: say(`species.${one}`) }))}
          onChange={setSpecies}
        />
        <TextField label={say('figure.search')} value={search} onInput={setSearch} />
      </div>
      <Trouble text={trouble} />
      <p role="status">{say('figure.found', { n: found.length })}</p>
      {groups.map((group) => (
        <section key={group} class="sheet stack">
          <h2>{sayOr(`figure.group.${group}`, group)}</h2>
          <ul class="plain-list">
            {found
              .filter((one) => groupOf(one) === group)
              .map((view) => (
                <FigureCard
                  key={`${species} ${view.figure.name} ${String(view.changes.length)}`}
                  species={species}
                  view={view}
                  onChanged={again}
                />
              ))}
          </ul>
        </section>
      ))}
    </div>
  );
}
