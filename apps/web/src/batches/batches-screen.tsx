import type { BatchLine } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { ComponentChildren, VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { TextField } from '../parts/field.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { writeAddress } from '../state/address.js';
import { limitsWords } from '../words/limits.js';
import { dateTime, percent, threeFigures } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';
import { TakeAway } from './take-away.js';

const SHOWN = ['active', 'past', 'all'] as const;
type Shown = (typeof SHOWN)[number];

const isActive = ({ state }: BatchLine): boolean => state === 'in-tanks' || state === 'not-stocked';

const speciesWords = ({ species }: BatchLine): string => sayOr(`species.${species}`, species);

function isFound(line: BatchLine, text: string): boolean {
  const all = [line.batch.name, speciesWords(line), ...line.tanks.map(({ name }) => name)].join(' ').toLowerCase();
  return text
    .toLowerCase()
    .split(/\s+/)
    .every((word) => all.includes(word));
}

const Told = ({ name, children }: { readonly name: string; readonly children: ComponentChildren }): VNode => (
  <div>
    <dt>{name}</dt>
    <dd>{children}</dd>
  </div>
);

function LastCount({ last }: { readonly last: NonNullable<BatchLine['lastCount']> }): VNode {
  const { sample, at, meanUm, stage } = last;
  return (
    <>
      <Told name={say('batch.last-count')}>
        <a href={writeAddress({ screen: 'sign-off', count: sample.id })}>{dateTime(at)}</a>
      </Told>
      <Told name={say('batch.mean')}>
        {meanUm === null ? '–' : `${limitsWords(meanUm, threeFigures)} µm`}
        {stage !== null && `, ${sayOr(`stage.${stage}`, stage)}`}
      </Told>
    </>
  );
}

function Card({ line }: { readonly line: BatchLine }): VNode {
  const { batch, state, ageDays, tanks, present, lastCount, survival, verdict } = line;
  const look = state === 'in-tanks' ? 'done' : 'open';
  return (
    <li class="sheet batch-card">
      <div class="side-by-side">
        <h2>
          <a href={writeAddress({ screen: 'batch', id: batch.id })}>{batch.name}</a>
        </h2>
        <span class={`chip ${look}`}>{say(`batch.state.${state}`)}</span>
        {verdict === 'more-than-came-in' && <span class="chip bad">{say(`verdict.${verdict}`)}</span>}
        <span class="soft">
          {speciesWords(line)}
          {state === 'in-tanks' && ageDays !== null && ` · ${say('batch.days', { days: threeFigures(ageDays) })}`}
        </span>
      </div>
      <dl class="told-of">
        {tanks.length > 0 && (
          <Told name={say('batch.tanks')}>
            {tanks.map(({ id, name }, i) => (
              <>
                {i > 0 && ', '}
                <a key={id} href={writeAddress({ screen: 'tank', id })}>
                  {name}
                </a>
              </>
            ))}
          </Told>
        )}
        {present !== null && <Told name={say('batch.there')}>{limitsWords(present, threeFigures)}</Told>}
        {lastCount !== null && <LastCount last={lastCount} />}
        {survival !== null && (
          <Told name={`${say('batch.survival')}, ${say('batch.of-stocked')}`}>
            {limitsWords(survival, (one) => percent(one))}
          </Told>
        )}
      </dl>
    </li>
  );
}

interface ChoiceProps {
  readonly shown: Shown;
  readonly onShown: (shown: Shown) => void;
  readonly text: string;
  readonly onText: (text: string) => void;
}

const Choices = ({ shown, onShown, text, onText }: ChoiceProps): VNode => (
  <div class="side-by-side spread batch-choices">
    <div class="side-by-side" role="group" aria-label={say('batches.show')}>
      {SHOWN.map((one) => (
        <Button
          key={one}
          pressed={shown === one}
          onClick={() => {
            onShown(one);
          }}
        >
          {say(`batches.${one}`)}
        </Button>
      ))}
    </div>
    <TextField label={say('batches.search')} hint={say('batches.search-hint')} value={text} onInput={onText} />
  </div>
);

/** All batches, with what each is now. */
export function BatchesScreen(): VNode {
  const [shown, setShown] = useState<Shown>('active');
  const [text, setText] = useState('');
  const { value, trouble } = useAnswer(() => ask<'listBatchSeasons'>('get', '/season/batches'), []);
  const lines = (value?.batches ?? []).filter(
    (line) => (shown === 'all' || isActive(line) === (shown === 'active')) && isFound(line, text),
  );
  return (
    <div class="stack page">
      <h1>{say('batches.title')}</h1>
      <Choices shown={shown} onShown={setShown} text={text} onText={setText} />
      <Trouble text={trouble} />
      {value === null && trouble === null && <p role="status">{say('app.loading')}</p>}
      {value !== null && lines.length === 0 && (
        <p class="sheet">{say(value.batches.length === 0 ? 'batches.none' : 'batches.none-found')}</p>
      )}
      <ul class="plain-list">
        {lines.map((line) => (
          <Card key={line.batch.id} line={line} />
        ))}
      </ul>
      <TakeAway />
    </div>
  );
}
