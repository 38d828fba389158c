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

/** Settings in whole days, each with the fewest and most. */
const DAYS = {
  calibrationDays: [1, 3650],
  dropDays: [0, 60],
  countDays: [0, 60],
  feedDays: [0, 60],
  feedFromDay: [0, 60],
} as const;
type InDays = keyof typeof DAYS;
const IN_DAYS = Object.keys(DAYS) as readonly InDays[];

/** Days as typed; null when they can't be. */
function daysOf(name: InDays, text: string): number | null {
  const days = readNumber(text);
  const [fewest, most] = DAYS[name];
  return days !== null && Number.isInteger(days) && days >= fewest && days <= most ? days : null;
}

interface DaysProps {
  readonly name: InDays;
  readonly text: string;
  readonly onInput: (text: string) => void;
}

/** A setting in whole days. */
function DaysField({ name, text, onInput }: DaysProps): VNode {
  const [fewest, most] = DAYS[name];
  return (
    <TextField
      label={say(`house.${name}`)}
      hint={say(`house.${name}-hint`)}
      unit={say('house.days')}
      digits
      value={text}
      wrong={daysOf(name, text) === null ? say('house.days-wrong', { fewest, most }) : null}
      onInput={onInput}
    />
  );
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
  const [days, setDays] = useState(() => Object.fromEntries(IN_DAYS.map((name) => [name, String(stored[name])])));
  const [trouble, setTrouble] = useState<string | null>(null);
  const read = IN_DAYS.map((name) => [name, daysOf(name, days[name] ?? '')] as const);
  const wrong = read.some(([, value]) => value === null);
  const store = (): void => {
    if (wrong) return;
    ask<'changeSettings'>('patch', '/settings', { body: { ...now, ...Object.fromEntries(read) } }).then(
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
      <h3>{say('house.rhythm')}</h3>
      <p class="soft">{say('house.rhythm-how')}</p>
      <div class="columns">
        {IN_DAYS.map((name) => (
          <DaysField
            key={name}
            name={name}
            text={days[name] ?? ''}
            onInput={(text) => {
              setDays({ ...days, [name]: text });
            }}
          />
        ))}
      </div>
      <Trouble text={trouble} />
      <p>
        <button type="submit" class="button main" disabled={wrong}>
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
