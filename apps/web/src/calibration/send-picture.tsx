import type { CalibrationPicture } from '@veligrid/api';
import { useRef, useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { Choice, TextField } from '../parts/field.js';
import { Trouble } from '../parts/trouble.js';
import { readNumber } from '../words/numbers.js';
import { say } from '../words/say.js';

const SHOWS = ['stage-micrometer', 'ruler', 'grid', 'points'] as const;
type Shows = (typeof SHOWS)[number];

/** Micrometres of one division or square, as most of each kind have; common practice, no source. */
const USUAL_UM: Readonly<Record<Shows, string>> = { 'stage-micrometer': '10', ruler: '10', grid: '1000', points: '' };

/** Sends a picture of something of known length. */
export function SendPicture({ onPicture }: { readonly onPicture: (picture: CalibrationPicture) => void }): VNode {
  const [shows, setShows] = useState<Shows>('stage-micrometer');
  const [division, setDivision] = useState(USUAL_UM['stage-micrometer']);
  const [trouble, setTrouble] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const input = useRef<HTMLInputElement>(null);
  const send = (file: File): void => {
    const form = new FormData();
    form.append('shows', shows);
    if (shows !== 'points') form.append('divisionUm', String(readNumber(division) ?? ''));
    form.append('picture', file, file.name);
    setTrouble(null);
    setBusy(true);
    ask<'addCalibrationPicture'>('post', '/calibration-pictures', { form }).then(onPicture, (error: unknown) => {
      setBusy(false);
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
          onChange={(next) => {
            setShows(next);
            setDivision(USUAL_UM[next]);
          }}
        />
        {shows !== 'points' && (
          <TextField label={say('calibration.division')} unit="µm" digits value={division} onInput={setDivision} />
        )}
      </div>
      <p>
        <Button look="main" disabled={busy} onClick={() => input.current?.click()}>
          {say('calibration.choose')}
        </Button>
        <span aria-live="polite">{busy && say('calibration.looking')}</span>
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
