import type { HouseSettings } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Choice, TextField } from '../parts/field.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { announce } from '../state/announce.js';
import { readNumber } from '../words/numbers.js';
import { LANGUAGES, say } from '../words/say.js';

const SPECIES = ['eastern-oyster', 'pacific-oyster', 'hard-clam'] as const;
const VOLUMES = ['litre', 'us-gallon'] as const;
const TEMPERATURES = ['celsius', 'fahrenheit'] as const;

const [FEWEST_DAYS, MOST_DAYS] = [1, 3650];

/** Days as typed; null when they can't be. */
function daysOf(text: string): number | null {
  const days = readNumber(text);
  return days !== null && Number.isInteger(days) && days >= FEWEST_DAYS && days <= MOST_DAYS ? days : null;
}

interface FieldsProps {
  readonly now: HouseSettings;
  readonly onChange: (changes: Partial<HouseSettings>) => void;
}

function Fields({ now, onChange }: FieldsProps): VNode {
  return (
    <div class="columns">
      <TextField
        label={say('house.hatchery')}
        value={now.hatchery}
        onInput={(hatchery) => {
          onChange({ hatchery });
        }}
      />
      <Choice
        label={say('house.species')}
        value={now.species}
        options={SPECIES.map((value) => ({ value, label: say(`species.${value}`) }))}
        onChange={(species) => {
          onChange({ species });
        }}
      />
      <Choice
        label={say('settings.language')}
        value={now.language}
        options={LANGUAGES.map((value) => ({ value, label: value === 'en' ? 'English' : 'Español' }))}
        onChange={(language) => {
          onChange({ language });
        }}
      />
      <Choice
        label={say('settings.volume')}
        value={now.volume}
        options={VOLUMES.map((value) => ({ value, label: say(value === 'litre' ? 'unit.L' : 'unit.gal') }))}
        onChange={(volume) => {
          onChange({ volume });
        }}
      />
      <Choice
        label={say('settings.degrees')}
        value={now.temperature}
        options={TEMPERATURES.map((value) => ({ value, label: value === 'celsius' ? '°C' : '°F' }))}
        onChange={(temperature) => {
          onChange({ temperature });
        }}
      />
    </div>
  );
}

function HouseForm({ stored }: { readonly stored: HouseSettings }): VNode {
  const [now, setNow] = useState(stored);
  const [days, setDays] = useState(String(stored.calibrationDays));
  const [trouble, setTrouble] = useState<string | null>(null);
  const calibrationDays = daysOf(days);
  const store = (): void => {
    if (calibrationDays === null) return;
    ask<'changeSettings'>('patch', '/settings', { body: { ...now, calibrationDays } }).then(
      () => {
        setTrouble(null);
        announce(say('house.stored'));
      },
      (error: unknown) => {
        setTrouble(error instanceof Error ? error.message : String(error));
      },
    );
  };
  return (
    <form
      class="sheet stack"
      onSubmit={(event) => {
        event.preventDefault();
        store();
      }}
    >
      <h2>{say('house.title')}</h2>
      <p class="soft">{say('house.how')}</p>
      <Fields
        now={now}
        onChange={(changes) => {
          setNow({ ...now, ...changes });
        }}
      />
      <TextField
        label={say('house.calibration-days')}
        hint={say('house.calibration-hint')}
        unit={say('house.days')}
        digits
        value={days}
        onInput={setDays}
      />
      <Trouble text={trouble ?? (calibrationDays === null ? say('house.days-wrong') : null)} />
      <p>
        <button type="submit" class="button main" disabled={calibrationDays === null}>
          {say('house.store')}
        </button>
      </p>
    </form>
  );
}

/** How the house likes things: what new counts and new devices begin with. */
export function HouseSection(): VNode {
  const { value, trouble } = useAnswer(() => ask<'getSettings'>('get', '/settings'), []);
  if (value === null) return <Trouble text={trouble} />;
  return <HouseForm stored={value} />;
}
