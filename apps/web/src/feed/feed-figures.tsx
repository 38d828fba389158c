import type { FeedDay } from '@veligrid/api';
import type { VNode } from 'preact';
import { confidenceWords, figureName, figureSource, figureUnit } from '../figures/figure-words.js';
import { threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

/** Figures of the trade that the sheet rests on, each with its source. */
export function FeedFigures({ figures }: { readonly figures: FeedDay['figures'] }): VNode | null {
  if (figures.length === 0) return null;
  return (
    <section class="sheet stack figures-used">
      <h2>{say('feed.figures')}</h2>
      <ul>
        {figures.map((figure) => {
          const { name, value, preset, version } = figure;
          const unit = figureUnit(figure);
          return (
            <li key={preset + name}>
              <strong>{typeof value === 'number' ? `${threeFigures(value)} ${unit}` : unit}</strong>{' '}
              {figureName(figure)}{' '}
              <span class="soft small">
                {name}; {preset} {version}; {figureSource(figure)} ({confidenceWords(figure)})
              </span>
            </li>
          );
        })}
      </ul>
    </section>
  );
}
