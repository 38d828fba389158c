import { useMemo, useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ScrollX } from '../parts/scroll-x.js';
import { TextField } from '../parts/field.js';
import { writeAddress } from '../state/address.js';
import { allLarvae, writeFilter } from '../state/larvae.js';
import type { OpenSample } from '../state/open-sample.js';
import { decimals, percent } from '../words/numbers.js';
import { say } from '../words/say.js';
import { Histogram } from './histogram.js';
import { StageLegend } from './stage-legend.js';
import { readScreens } from './read-screens.js';
import { keptBy, lengthData, type LengthData } from './length-data.js';

interface Props {
  readonly open: OpenSample;
  readonly show: string | null;
}

function Figures({ data }: { readonly data: LengthData }): VNode {
  return (
    <section class="sheet stack">
      <h2>{say('lengths.figures')}</h2>
      <table>
        <tbody>
          <tr>
            <th scope="row">{say('lengths.measured')}</th>
            <td class="number">{data.lengths.length}</td>
          </tr>
          <tr>
            <th scope="row">{say('lengths.left-out')}</th>
            <td class="number">{data.leftOut}</td>
          </tr>
          <tr>
            <th scope="row">{say('lengths.mean')}</th>
            <td class="number">{data.mean === null ? '–' : `${decimals(data.mean, 1)} µm`}</td>
          </tr>
          {data.percentiles.map(({ percent: share, lengthUm }) => (
            <tr key={share}>
              <th scope="row">{say('lengths.percentile', { n: share })}</th>
              <td class="number">{decimals(lengthUm, 1)} µm</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** The table behind the picture. */
function BarTable({ data, count }: { readonly data: LengthData; readonly count: string }): VNode {
  return (
    <details class="sheet">
      <summary>{say('lengths.table')}</summary>
      <table>
        <thead>
          <tr>
            <th scope="col">{say('lengths.axis')}</th>
            <th scope="col">{say('lengths.stages')}</th>
            <th scope="col" class="number">
              {say('lengths.number')}
            </th>
            <th scope="col" />
          </tr>
        </thead>
        <tbody>
          {data.bars
            .filter(({ number }) => number > 0)
            .map((bar) => (
              <tr key={bar.fromUm}>
                <th scope="row">
                  {bar.fromUm}–{bar.toUm}
                </th>
                <td>{bar.stages.map(({ stage, number }) => `${say(`stage.${stage}`)} ${number}`).join(', ')}</td>
                <td class="number">{bar.number}</td>
                <td>
                  <a href={writeAddress({ screen: 'rows', count, show: writeFilter({ kind: 'length', ...bar }) })}>
                    {say('look.show')}
                  </a>
                </td>
              </tr>
            ))}
        </tbody>
      </table>
    </details>
  );
}

interface ScreensProps {
  readonly text: string;
  readonly onInput: (text: string) => void;
  readonly kept: (um: number) => number | null;
}

function Screens({ text, onInput, kept }: ScreensProps): VNode {
  return (
    <section class="sheet stack">
      <h2>{say('lengths.screens')}</h2>
      <TextField label={say('lengths.apertures')} hint={say('lengths.apertures-hint')} value={text} onInput={onInput} />
      <table>
        <tbody>
          {readScreens(text).map((um) => (
            <tr key={um}>
              <th scope="row">{say('lengths.screen', { um })}</th>
              <td class="number">{say('lengths.kept', { share: percent(kept(um) ?? 0) })}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="small soft">{say('lengths.screens-caution')}</p>
    </section>
  );
}

/** How long the larvae are, by stage, and what screens would keep. */
export function LengthsScreen({ open }: Props): VNode {
  const reviewed = open.reviewed.value;
  const larvae = useMemo(() => allLarvae(reviewed), [reviewed]);
  const data = useMemo(() => lengthData(larvae), [larvae]);
  const [screens, setScreens] = useState('');
  const signed = open.sample.value?.state === 'signed-off';
  return (
    <div class="stack page">
      <div class="side-by-side">
        <h1>{say('lengths.title')}</h1>
        {!signed && <span class="chip open">{say('state.open')}</span>}
      </div>
      {data.lengths.length === 0 ? (
        <p class="sheet">{say('lengths.none')}</p>
      ) : (
        <>
          <div class="sheet">
            <StageLegend data={data} />
            <ScrollX label={say('lengths.axis')}>
              <Histogram data={data} count={open.id} screens={readScreens(screens)} />
            </ScrollX>
          </div>
          <div class="columns">
            <Figures data={data} />
            <Screens text={screens} onInput={setScreens} kept={(um) => keptBy(larvae, um)} />
          </div>
          <BarTable data={data} count={open.id} />
        </>
      )}
    </div>
  );
}
