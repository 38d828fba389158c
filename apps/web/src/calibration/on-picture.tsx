import type { CalibrationPicture, NewCalibration } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { TextField } from '../parts/field.js';
import { announce } from '../state/announce.js';
import { decimals, readNumber } from '../words/numbers.js';
import { say } from '../words/say.js';
import { FoundLines } from './found-lines.js';
import { PointPicture } from './point-picture.js';
import { beginPoints, distancePx, type TwoPoints } from './two-points.js';

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

/** A picture that was sent: accept the lines found on it, or set two points. */
export function OnPicture({
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
      <FoundLines found={picture.found} why={picture.why} />
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
