import type { BodyOf, Figure } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { readValue, valueText, valueWords } from '../figures/figure-value.js';
import { confidenceWords, figureName, figureSource, figureUnit } from '../figures/figure-words.js';
import { Button } from '../parts/button.js';
import { TextField } from '../parts/field.js';
import { ScrollX } from '../parts/scroll-x.js';
import { say } from '../words/say.js';

/** A figure changed for this plan alone. */
export type ChangedFigure = NonNullable<BodyOf<'tryPlan'>['changed']>[number];

interface Props {
  readonly figures: readonly Figure[];
  /** Nothing may be changed without it: a kept plan stays as it is. */
  readonly onChange?: (changed: ChangedFigure) => void;
}

function ChangeFigure({
  figure,
  onChange,
}: {
  readonly figure: Figure;
  readonly onChange: (changed: ChangedFigure) => void;
}): VNode {
  const [value, setValue] = useState(valueText(figure.value));
  const [why, setWhy] = useState('');
  const read = readValue(value, figure.value);
  return (
    <form
      class="stack"
      aria-label={say('figure.change', { name: figureName(figure) })}
      onSubmit={(event) => {
        event.preventDefault();
        if (read !== null && why.trim() !== '') onChange({ name: figure.name, value: read, why: why.trim() });
      }}
    >
      <TextField
        label={say('figure.value')}
        unit={figureUnit(figure)}
        value={value}
        onInput={setValue}
        wrong={read === null ? say('entry.no-number') : null}
      />
      <TextField label={say('figure.why')} hint={say('figure.this-plan')} value={why} onInput={setWhy} required />
      <p>
        <button type="submit" class="button" disabled={read === null || why.trim() === ''}>
          {say('figure.take')}
        </button>
      </p>
    </form>
  );
}

function Row({ figure, onChange }: { readonly figure: Figure } & Pick<Props, 'onChange'>): VNode {
  const [open, setOpen] = useState(false);
  const { name, value, confidence, preset, version } = figure;
  return (
    <>
      <tr>
        <th scope="row">
          {figureName(figure)}
          <br />
          <span class="soft small code-name">{name}</span>
        </th>
        <td data-head={say('report.value')}>
          {valueWords(value)} {figureUnit(figure)}
        </td>
        <td data-head={say('report.source')}>
          {figureSource(figure)}
          <br />
          <span class={confidence === 'own' || confidence === 'read' ? 'chip done' : 'chip open'}>
            {confidenceWords(figure)}
          </span>{' '}
          <span class="soft small">
            {preset} {version}
          </span>
        </td>
        {onChange !== undefined && (
          <td>
            <Button
              label={say('figure.change', { name: figureName(figure) })}
              onClick={() => {
                setOpen(!open);
              }}
            >
              {say('figure.change-short')}
            </Button>
          </td>
        )}
      </tr>
      {open && onChange !== undefined && (
        <tr>
          <td colSpan={4}>
            <ChangeFigure
              figure={figure}
              onChange={(changed) => {
                setOpen(false);
                onChange(changed);
              }}
            />
          </td>
        </tr>
      )}
    </>
  );
}

/** The figures that a plan was worked out with, each with its source. */
export function FiguresUsed({ figures, onChange }: Props): VNode | null {
  if (figures.length === 0) return null;
  return (
    <section class="stack">
      <h3>{say('figure.used')}</h3>
      <ScrollX label={say('figure.used')}>
        <table class="small stacked">
          <thead>
            <tr>
              <th scope="col">{say('report.figure')}</th>
              <th scope="col">{say('report.value')}</th>
              <th scope="col">{say('report.source')}</th>
              {onChange !== undefined && <th scope="col">{say('figure.for-plan')}</th>}
            </tr>
          </thead>
          <tbody>
            {figures.map((figure) => (
              <Row key={figure.name} figure={figure} {...(onChange === undefined ? {} : { onChange })} />
            ))}
          </tbody>
        </table>
      </ScrollX>
    </section>
  );
}
