import type { Calibration, CalibrationPicture, NewCalibration } from '@veligrid/api';
import { useRef, useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { Choice, TextField } from '../parts/field.js';
import { ScrollX } from '../parts/scroll-x.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { announce } from '../state/announce.js';
import { mayCount } from '../state/session.js';
import { dateTime, decimals, percent, readNumber } from '../words/numbers.js';
import { say } from '../words/say.js';
import { PointPicture } from './point-picture.js';
import { beginPoints, distancePx, type TwoPoints } from './two-points.js';

const SHOWS = ['points', 'stage-micrometer', 'ruler', 'grid'] as const;
type Shows = (typeof SHOWS)[number];

interface StoreProps {
  readonly source: NewCalibration['source'] | null;
  readonly umPerPx: number | null;
  readonly onStored: () => void;
}

/** Microscope and objective, and the button that stores. */
function Store({ source, umPerPx, onStored }: StoreProps): VNode {
  const [microscope, setMicroscope] = useState('');
  const [objective, setObjective] = useState('');
  const store = (): void => {
    if (source === null) return;
    ask<'addCalibration'>('post', '/calibrations', { body: { microscope, objective, source } }).then(
      () => {
        announce(say('calibration.stored'));
        onStored();
      },
      (error: unknown) => {
        announce(error instanceof Error ? error.message : String(error), 'trouble');
      },
    );
  };
  const ready = source !== null && microscope.trim() !== '' && objective.trim() !== '';
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        if (ready) store();
      }}
    >
      <p aria-live="polite">
        <strong>
          {umPerPx === null ? say('calibration.no-scale') : say('calibration.scale', { um: decimals(umPerPx, 4) })}
        </strong>
      </p>
      <div class="columns">
        <TextField label={say('calibration.microscope')} value={microscope} onInput={setMicroscope} required />
        <TextField
          label={say('calibration.objective')}
          hint={say('calibration.objective-hint')}
          value={objective}
          onInput={setObjective}
          required
        />
      </div>
      <p>
        <button type="submit" class="button main" disabled={!ready}>
          {say('calibration.store')}
        </button>
      </p>
    </form>
  );
}

/** The two points as a source, when both are set and the distance makes sense. */
function twoPointSource(
  { points: [a, b] }: TwoPoints,
  um: number | null,
  picture: string,
): NewCalibration['source'] | null {
  if (a === undefined || b === undefined || um === null || um < 1) return null;
  return { way: 'two-points', points: [[...a], [...b]], distanceUm: um, picture };
}

function scaleBy(points: TwoPoints, um: number | null): number | null {
  const px = distancePx(points);
  return px === null || um === null ? null : um / px;
}

/** What was found on the picture, or why nothing was. */
function Found({ found, why }: CalibrationPicture): VNode {
  return (
    <>
      {why !== null && <p class="note">{why}</p>}
      {found !== null && (
        <p class="note good">
          {say('calibration.found', {
            um: decimals(found.umPerPx, 4),
            spread: percent(found.relativeStandardUncertainty),
          })}
        </p>
      )}
    </>
  );
}

function OnPicture({
  picture,
  onStored,
}: {
  readonly picture: CalibrationPicture;
  readonly onStored: () => void;
}): VNode {
  const [points, setPoints] = useState<TwoPoints>(() => beginPoints(picture.widthPx, picture.heightPx));
  const [distance, setDistance] = useState('1000');
  const [byLines, setByLines] = useState(picture.found !== null);
  const um = readNumber(distance);
  const set = (next: TwoPoints): void => {
    setPoints(next);
    if (next.points.length > 0) setByLines(false);
  };
  return (
    <section class="sheet stack">
      <Found {...picture} />
      <PointPicture picture={picture} state={points} onChange={set} />
      {!byLines && (
        <TextField label={say('calibration.distance')} unit="µm" digits value={distance} onInput={setDistance} />
      )}
      {picture.found !== null && !byLines && (
        <p>
          <Button
            onClick={() => {
              setByLines(true);
            }}
          >
            {say('calibration.take-lines')}
          </Button>
        </p>
      )}
      <Store
        source={byLines ? { way: 'picture', picture: picture.id } : twoPointSource(points, um, picture.id)}
        umPerPx={byLines ? (picture.found?.umPerPx ?? null) : scaleBy(points, um)}
        onStored={onStored}
      />
    </section>
  );
}

/** Sends a picture of something of known length. */
function SendPicture({ onPicture }: { readonly onPicture: (picture: CalibrationPicture) => void }): VNode {
  const [shows, setShows] = useState<Shows>('points');
  const [division, setDivision] = useState('10');
  const [trouble, setTrouble] = useState<string | null>(null);
  const input = useRef<HTMLInputElement>(null);
  const send = (file: File): void => {
    const form = new FormData();
    form.append('shows', shows);
    if (shows !== 'points') form.append('divisionUm', String(readNumber(division) ?? ''));
    form.append('picture', file, file.name);
    ask<'addCalibrationPicture'>('post', '/calibration-pictures', { form }).then(onPicture, (error: unknown) => {
      setTrouble(error instanceof Error ? error.message : String(error));
    });
  };
  return (
    <section class="sheet stack">
      <h2>{say('calibration.new')}</h2>
      <p>{say('calibration.how')}</p>
      <div class="columns">
        <Choice
          label={say('calibration.shows')}
          value={shows}
          options={SHOWS.map((value) => ({ value, label: say(`shows.${value}`) }))}
          onChange={setShows}
        />
        {shows !== 'points' && (
          <TextField label={say('calibration.division')} unit="µm" digits value={division} onInput={setDivision} />
        )}
      </div>
      <p>
        <Button look="main" onClick={() => input.current?.click()}>
          {say('calibration.choose')}
        </Button>
        <input
          ref={input}
          type="file"
          class="unseen"
          tabIndex={-1}
          aria-label={say('calibration.choose')}
          accept="image/*,.tif,.tiff,.bmp"
          onChange={({ currentTarget }) => {
            const file = currentTarget.files?.[0];
            if (file !== undefined) send(file);
            currentTarget.value = '';
          }}
        />
      </p>
      <Trouble text={trouble} />
    </section>
  );
}

function Row({ calibration }: { readonly calibration: Calibration }): VNode {
  const { microscope, objective, umPerPx, measuredOn, made, outOfDate, goodUntil } = calibration;
  return (
    <tr>
      <th scope="row">
        {microscope}, {objective}
      </th>
      <td class="number">{decimals(umPerPx, 4)}</td>
      <td>{measuredOn}</td>
      <td>
        {dateTime(made.at)}, {made.by}
      </td>
      <td>
        <span class={outOfDate ? 'chip bad' : 'chip done'}>
          {outOfDate ? say('calibration.out-of-date') : say('calibration.good-until', { at: dateTime(goodUntil) })}
        </span>
      </td>
    </tr>
  );
}

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
        <ScrollX label={say('calibration.title')}>
          <table>
            <thead>
              <tr>
                <th scope="col">{say('calibration.which')}</th>
                <th scope="col" class="number">
                  µm / px
                </th>
                <th scope="col">{say('calibration.from')}</th>
                <th scope="col">{say('calibration.made')}</th>
                <th scope="col">{say('sign.state')}</th>
              </tr>
            </thead>
            <tbody>
              {value?.calibrations.map((calibration) => (
                <Row key={calibration.id} calibration={calibration} />
              ))}
            </tbody>
          </table>
        </ScrollX>
        {value?.calibrations.length === 0 && <p class="soft">{say('calibration.none')}</p>}
      </section>
    </div>
  );
}
