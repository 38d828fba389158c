import type { FeedDay } from '@veligrid/api';
import type { VNode } from 'preact';
import { threeFigures } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';

/** Figures of the trade that the sheet rests on, each with its source. */
export function FeedFigures({ figures }: { readonly figures: FeedDay['figures'] }): VNode | null {
  if (figures.length === 0) return null;
  return (
    <section class="sheet stack figures-used">
      <h2>{say('feed.figures')}</h2>
      <ul>
        {figures.map(({ name, value, unit, source, confidence, preset, version }) => (
          <li key={preset + name}>
            <strong>{typeof value === 'number' ? `${threeFigures(value)} ${unit}` : unit}</strong> {name}{' '}
            <span class="soft small">
              {preset} {version}; {source} ({sayOr(`confidence.${confidence}`, confidence)})
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
