import type { CultureRecord } from '@veligrid/api';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { CorrectEntry } from '../entries/correct-entry.js';
import type { EntryField } from '../entries/entry-field.js';
import { EntryForm } from '../entries/entry-form.js';
import { Button } from '../parts/button.js';
import { ScrollX } from '../parts/scroll-x.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { announce } from '../state/announce.js';
import { mayCount } from '../state/session.js';
import { volumeWords } from '../words/amounts.js';
import { dateTime, localTime, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

const LITRE_ML = 1000;

/** Nine squares of 1 mm, 0.1 mm deep: all of one grid of a haemocytometer (improved Neubauer ruling). */
const NINE_SQUARES_ML = '0.0009';

const readingFields = (): EntryField[] => [
  { name: 'at', label: say('reading.at'), as: 'time', required: true },
  { name: 'litres', label: say('culture.volume'), unit: 'L', as: 'number' },
  { name: 'cells', label: say('reading.cells'), hint: say('reading.cells-hint'), as: 'number' },
  { name: 'counted_ml', label: say('reading.counted'), hint: say('reading.counted-hint'), unit: 'mL', as: 'number' },
  { name: 'taken_ml', label: say('reading.taken'), hint: say('reading.dilution'), unit: 'mL', as: 'number' },
  { name: 'made_up_to_ml', label: say('reading.made-up'), unit: 'mL', as: 'number' },
  { name: 'cells_per_ml', label: say('reading.density'), hint: say('reading.density-hint'), as: 'number' },
  { name: 'note', label: say('tanks.note') },
];

const correctFields = (): EntryField[] => [
  { name: 'litres', label: say('culture.volume'), unit: 'L', as: 'number' },
  { name: 'cells_per_ml', label: say('reading.density'), as: 'number' },
  { name: 'note', label: say('tanks.note') },
];

interface Props {
  readonly culture: CultureRecord;
  readonly onChanged: () => void;
}

type Reading = CultureRecord['readings'][number];

function tallyWords({ tally }: Reading): string {
  if (tally === null) return say('reading.not-counted');
  const steps = tally.steps.map(({ takenMl, madeUpToMl }) =>
    say('print.step', { taken: threeFigures(takenMl), to: threeFigures(madeUpToMl) }),
  );
  return [say('reading.tally', { cells: tally.cells, ml: threeFigures(tally.volumeMl) }), ...steps].join('; ');
}

function Readings({ culture: { name, readings }, onChanged }: Props): VNode {
  return (
    <ScrollX label={say('reading.of', { culture: name })}>
      <table>
        <thead>
          <tr>
            <th scope="col">{say('culture.read')}</th>
            <th scope="col">{say('culture.density')}</th>
            <th scope="col">{say('culture.volume')}</th>
            <th scope="col">{say('reading.rests-on')}</th>
            <th scope="col">{say('audit.by')}</th>
            <th scope="col">{say('reading.correct')}</th>
          </tr>
        </thead>
        <tbody>
          {readings.map((reading) => (
            <tr key={`${reading.id}-${String(reading.version)}`}>
              <th scope="row">{dateTime(reading.at)}</th>
              <td>{say('culture.per-ml', { cells: threeFigures(reading.cellsPerMl) })}</td>
              <td>{reading.litres === null ? '–' : volumeWords(reading.litres * LITRE_ML)}</td>
              <td>{tallyWords(reading)}</td>
              <td>{reading.by}</td>
              <td>
                {mayCount.value && (
                  <details>
                    <summary aria-label={say('reading.correct-of', { at: dateTime(reading.at) })}>
                      {say('reading.correct')}
                    </summary>
                    <CorrectEntry
                      entry={{ kind: 'culture-reading', id: reading.id, version: reading.version }}
                      fields={correctFields()}
                      start={{
                        litres: reading.litres === null ? '' : String(reading.litres),
                        cells_per_ml: String(reading.cellsPerMl),
                        note: reading.note,
                      }}
                      onChanged={onChanged}
                    />
                  </details>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </ScrollX>
  );
}

function Culture({ culture, onChanged }: Props): VNode {
  const { id, name, alga, fedAs, active, revision, readings } = culture;
  const use = (): void => {
    const body = { revision, active: !active };
    ask<'changeCulture'>('patch', '/cultures/{culture}', { at: { culture: id }, body }).then(
      onChanged,
      (error: unknown) => {
        announce(error instanceof Error ? error.message : String(error), 'trouble');
      },
    );
  };
  return (
    <li class="sheet stack">
      <div class="side-by-side spread">
        <h2>
          {name} <span class="soft small">{alga}</span>
        </h2>
        {!active && <span class="chip open">{say('tanks.not-used')}</span>}
        {fedAs === null && <span class="chip bad">{say('feed.unknown-alga')}</span>}
        {mayCount.value && (
          <Button label={say(active ? 'culture.retire-of' : 'culture.again-of', { culture: name })} onClick={use}>
            {say(active ? 'tanks.retire' : 'tanks.use-again')}
          </Button>
        )}
      </div>
      {active && mayCount.value && (
        <details>
          <summary aria-label={say('reading.add-of', { culture: name })}>{say('reading.add')}</summary>
          <EntryForm
            kind="culture-reading"
            fields={readingFields()}
            start={{ at: localTime(new Date()), counted_ml: NINE_SQUARES_ML }}
            always={{ culture: id }}
            go={say('reading.store')}
            onKept={onChanged}
          />
        </details>
      )}
      {readings.length === 0 ? (
        <p class="soft">{say('culture.never')}</p>
      ) : (
        <Readings culture={culture} onChanged={onChanged} />
      )}
    </li>
  );
}

/** All cultures with their readings: to add, to read, to stop using. */
export function CulturesPage(): VNode {
  const { value, trouble, again } = useAnswer(() => ask<'listCultures'>('get', '/cultures'), []);
  const cultures = (value?.cultures ?? []).toSorted((a, b) => Number(b.active) - Number(a.active));
  return (
    <div class="stack page">
      <h1>{say('nav.cultures')}</h1>
      <Trouble text={trouble} />
      <section class="sheet">
        <EntryForm
          kind="culture"
          title={say('culture.add')}
          go={say('culture.add')}
          fields={[
            { name: 'culture', label: say('tanks.name'), required: true },
            { name: 'alga', label: say('culture.alga'), hint: say('culture.alga-hint'), required: true },
            { name: 'note', label: say('tanks.note') },
          ]}
          onKept={again}
        />
      </section>
      <ul class="plain-list">
        {cultures.map((culture) => (
          <Culture key={`${culture.id}-${String(culture.revision)}`} culture={culture} onChanged={again} />
        ))}
      </ul>
    </div>
  );
}
