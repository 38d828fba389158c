import type { Calibration, CalibrationPicture } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { ScrollX } from '../parts/scroll-x.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { mayCount } from '../state/session.js';
import { dateTime, decimals } from '../words/numbers.js';
import { say } from '../words/say.js';
import { OnPicture } from './on-picture.js';
import { SendPicture } from './send-picture.js';

function Row({ calibration }: { readonly calibration: Calibration }): VNode {
  const { microscope, objective, umPerPx, measuredOn, made, outOfDate, goodUntil } = calibration;
  return (
    <tr>
      <th scope="row">
        {microscope}, {objective}
      </th>
      <td class="number" data-head="µm / px">
        {decimals(umPerPx, 4)}
      </td>
      <td data-head={say('calibration.from')}>{measuredOn}</td>
      <td data-head={say('calibration.made')}>
        {dateTime(made.at)}, {made.by}
      </td>
      <td data-head={say('sign.state')}>
        <span class={outOfDate ? 'chip bad' : 'chip done'}>
          {outOfDate ? say('calibration.out-of-date') : say('calibration.good-until', { at: dateTime(goodUntil) })}
        </span>
      </td>
    </tr>
  );
}

const List = ({ calibrations }: { readonly calibrations: readonly Calibration[] }): VNode => (
  <ScrollX label={say('calibration.title')}>
    <table class="stacked">
      <thead>
        <tr>
          <th scope="col">{say('calibration.which')}</th>
          <th scope="col" class="number whole">
            µm / px
          </th>
          <th scope="col">{say('calibration.from')}</th>
          <th scope="col">{say('calibration.made')}</th>
          <th scope="col">{say('sign.state')}</th>
        </tr>
      </thead>
      <tbody>
        {calibrations.map((calibration) => (
          <Row key={calibration.id} calibration={calibration} />
        ))}
      </tbody>
    </table>
  </ScrollX>
);

/** Calibrations of each microscope and objective, and a new one from a picture. */
export function CalibrationScreen(): VNode {
  const { value, trouble, again } = useAnswer(() => ask<'listCalibrations'>('get', '/calibrations'), []);
  const [picture, setPicture] = useState<CalibrationPicture | null>(null);
  return (
    <div class="stack page">
      <h1>{say('calibration.title')}</h1>
      <Trouble text={trouble} />
      {mayCount.value && picture === null && <SendPicture onPicture={setPicture} />}
      {picture !== null && (
        <OnPicture
          key={picture.id}
          picture={picture}
          onStored={() => {
            setPicture(null);
            again();
          }}
        />
      )}
      <section class="sheet">
        {value?.calibrations.length === 0 && <p class="soft">{say('calibration.none')}</p>}
        {value !== null && value.calibrations.length > 0 && <List calibrations={value.calibrations} />}
      </section>
    </div>
  );
}
