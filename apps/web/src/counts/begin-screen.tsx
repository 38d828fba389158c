import type { Calibration, Tank } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { Choice, TextField } from '../parts/field.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { goTo } from '../state/place.js';
import { settings } from '../state/settings.js';
import { dateTime, VOLUME_UNITS } from '../words/numbers.js';
import { say } from '../words/say.js';
import { faultOf, type FormProps } from './form-props.js';
import { newSampleOf, startingText, wrongWith, type NewCountText, type Wrong } from './new-count.js';
import { SampleFields } from './sample-fields.js';
import { StepFields } from './step-fields.js';

/** The tank by its name; a new name makes a new tank. */
async function tankId(name: string, tanks: readonly Tank[]): Promise<string> {
  const wanted = name.trim();
  const known = tanks.find((tank) => tank.name.toLowerCase() === wanted.toLowerCase());
  return known?.id ?? (await ask<'addTank'>('post', '/tanks', { body: { name: wanted } })).id;
}

function VolumeFields({ text, wrong, set }: FormProps): VNode {
  return (
    <fieldset class="stack">
      <legend>{say('begin.volumes')}</legend>
      <div class="volume">
        <TextField
          label={say('begin.container')}
          hint={say('begin.container-hint')}
          digits
          value={text.container}
          wrong={faultOf(wrong, 'container')}
          onInput={(container) => {
            set({ container });
          }}
        />
        <Choice
          label={say('begin.unit')}
          value={text.containerUnit}
          options={VOLUME_UNITS.map((value) => ({ value, label: say(`unit.${value}`) }))}
          onChange={(containerUnit) => {
            set({ containerUnit });
          }}
        />
      </div>
      <StepFields
        steps={text.steps}
        wrong={faultOf(wrong, 'steps')}
        onChange={(steps) => {
          set({ steps });
        }}
      />
      <TextField
        label={say('begin.fillings')}
        hint={say('begin.fillings-hint')}
        digits
        value={text.fillings}
        wrong={faultOf(wrong, 'fillings')}
        onInput={(fillings) => {
          set({ fillings });
        }}
      />
    </fieldset>
  );
}

const CELLS = ['sedgwick-rafter', 'haemocytometer', 'none'] as const;
const SCALES = ['ruled-lines', 'calibration', 'given'] as const;

const calibrationLabel = ({ microscope, objective, made, outOfDate }: Calibration): string =>
  `${microscope} ${objective}, ${dateTime(made.at)}${outOfDate ? ` (${say('calibration.out-of-date')})` : ''}`;

interface CellProps extends FormProps {
  readonly calibrations: readonly Calibration[];
}

function ScaleFields({ text, wrong, set, calibrations }: CellProps): VNode {
  return (
    <>
      <Choice
        label={say('begin.scale')}
        value={text.scale}
        options={SCALES.map((value) => ({ value, label: say(`scale.${value}`) }))}
        onChange={(scale) => {
          set({ scale });
        }}
      />
      {text.scale === 'given' && (
        <TextField
          label={say('begin.um-per-px')}
          unit="µm / px"
          digits
          value={text.umPerPx}
          wrong={faultOf(wrong, 'umPerPx')}
          onInput={(umPerPx) => {
            set({ umPerPx });
          }}
        />
      )}
      {text.scale === 'calibration' && (
        <Choice
          label={say('begin.calibration')}
          value={text.calibration}
          wrong={faultOf(wrong, 'calibration')}
          options={[
            { value: '', label: say('begin.choose') },
            ...calibrations.map((one) => ({ value: one.id, label: calibrationLabel(one) })),
          ]}
          onChange={(calibration) => {
            set({ calibration });
          }}
        />
      )}
    </>
  );
}

function CellFields({ text, wrong, set, calibrations }: CellProps): VNode {
  return (
    <fieldset class="stack">
      <legend>{say('begin.slide')}</legend>
      <Choice
        label={say('begin.cell')}
        value={text.cell}
        options={CELLS.map((value) => ({ value, label: say(`cell.${value}`) }))}
        onChange={(cell) => {
          set({ cell });
        }}
      />
      {text.cell === 'none' && (
        <TextField
          label={say('begin.whole-slide')}
          unit="mL"
          digits
          value={text.wholeSlideMl}
          wrong={faultOf(wrong, 'wholeSlideMl')}
          onInput={(wholeSlideMl) => {
            set({ wholeSlideMl });
          }}
        />
      )}
      <ScaleFields text={text} wrong={wrong} set={set} calibrations={calibrations} />
      <TextField
        label={say('begin.draw')}
        hint={say('begin.draw-hint')}
        digits
        value={text.draw}
        wrong={faultOf(wrong, 'draw')}
        onInput={(draw) => {
          set({ draw });
        }}
      />
    </fieldset>
  );
}

function BeginButtons(): VNode {
  return (
    <div class="side-by-side">
      <button type="submit" class="button main">
        {say('begin.go')}
      </button>
      <Button
        look="quiet"
        onClick={() => {
          goTo({ screen: 'counts' });
        }}
      >
        {say('tool.cancel')}
      </Button>
    </div>
  );
}

/** Asks what was sampled and how, then begins the count. */
export function BeginScreen({ batch }: { readonly batch: string }): VNode {
  const tanks = useAnswer(() => ask<'listTanks'>('get', '/tanks'), []);
  const batches = useAnswer(() => ask<'listBatches'>('get', '/batches'), []);
  const calibrations = useAnswer(() => ask<'listCalibrations'>('get', '/calibrations'), []);
  const [text, setText] = useState(() => ({ ...startingText(new Date(), settings.value.volumeUnit), batch }));
  const [wrong, setWrong] = useState<Wrong>({});
  const [trouble, setTrouble] = useState<string | null>(null);
  const set = (change: Partial<NewCountText>): void => {
    setText((last) => ({ ...last, ...change }));
  };
  const begin = async (): Promise<void> => {
    const found = wrongWith(text);
    setWrong(found);
    if (Object.keys(found).length > 0) return;
    const tank = await tankId(text.tank, tanks.value?.tanks ?? []);
    const sample = await ask<'addSample'>('post', '/samples', { body: newSampleOf(text, tank) });
    goTo({ screen: 'photos', count: sample.id });
  };
  return (
    <form
      class="stack page"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        begin().catch((error: unknown) => {
          setTrouble(error instanceof Error ? error.message : String(error));
        });
      }}
    >
      <h1>{say('begin.title')}</h1>
      <Trouble text={trouble ?? tanks.trouble} />
      <div class="columns">
        <SampleFields
          text={text}
          wrong={wrong}
          set={set}
          tanks={tanks.value?.tanks ?? []}
          batches={batches.value?.batches ?? []}
        />
        <VolumeFields text={text} wrong={wrong} set={set} />
        <CellFields text={text} wrong={wrong} set={set} calibrations={calibrations.value?.calibrations ?? []} />
      </div>
      {Object.keys(wrong).length > 0 && (
        <p class="note bad" role="alert">
          {say('begin.wrong', { n: Object.keys(wrong).length })}
        </p>
      )}
      <BeginButtons />
    </form>
  );
}
