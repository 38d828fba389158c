import type { VNode } from 'preact';
import { Button } from '../parts/button.js';
import { Choice, Tick } from '../parts/field.js';
import { STARTING_KEYS, withKey, type Act } from '../state/keys.js';
import { mayManage, session } from '../state/session.js';
import { DEGREES, setSettings, settings, THEMES } from '../state/settings.js';
import { DECIMAL_SIGNS, VOLUME_UNITS } from '../words/numbers.js';
import { LANGUAGES, say } from '../words/say.js';
import { STAGES } from '@veligrid/model';
import { AccessSection } from './access-section.js';
import { DoorSection } from './door-section.js';
import { HouseSection } from './house-settings.js';
import { OwnPassword, StaffSection } from './staff-section.js';

const ACTS: readonly Act[] = [
  'next-look',
  'previous-look',
  'right-as-is',
  'remove',
  'add',
  'redraw',
  'split',
  'join',
  'ruler',
  'change-form',
  'undo',
  'redo',
  'hide-outlines',
  'hide-while-held',
  'only-look',
  'to-larva',
  'whole-slide',
  ...STAGES.map((stage): Act => `stage:${stage}`),
];

function nameOf(act: Act): string {
  if (act.startsWith('stage:')) return say(`stage.${act.slice(6)}` as 'stage.egg');
  return say(`act.${act}` as 'act.add');
}

function KeyField({ act }: { readonly act: Act }): VNode {
  return (
    <div class="key-field">
      <label for={`key-${act}`}>{nameOf(act)}</label>
      <input
        id={`key-${act}`}
        type="text"
        maxLength={1}
        autoComplete="off"
        value={settings.value.keys[act] ?? ''}
        onInput={({ currentTarget }) => {
          setSettings({ keys: withKey(settings.value.keys, act, currentTarget.value) });
        }}
        onFocus={({ currentTarget }) => {
          currentTarget.select();
        }}
      />
    </div>
  );
}

function Keys(): VNode {
  return (
    <fieldset class="stack">
      <legend>{say('settings.keys')}</legend>
      <p class="soft">{say('settings.keys-how')}</p>
      <Tick
        label={say('settings.letters')}
        value={settings.value.letters}
        onChange={(letters) => {
          setSettings({ letters });
        }}
      />
      <div class="keys">
        {ACTS.map((act) => (
          <KeyField key={act} act={act} />
        ))}
      </div>
      <p>
        <Button
          onClick={() => {
            setSettings({ keys: STARTING_KEYS });
          }}
        >
          {say('settings.keys-back')}
        </Button>
      </p>
    </fieldset>
  );
}

/** What belongs to the house or the person and not to this device. */
function OfTheHouse(): VNode {
  const accounts = session.value?.way === 'accounts';
  return (
    <>
      {mayManage.value && <HouseSection />}
      {accounts && <OwnPassword />}
      {accounts && mayManage.value && <StaffSection />}
      {mayManage.value && <AccessSection />}
      {accounts && mayManage.value && <DoorSection />}
    </>
  );
}

/** How this device shows things, and the settings of the house. */
export function SettingsScreen(): VNode {
  const now = settings.value;
  return (
    <div class="stack page">
      <h1>{say('nav.settings')}</h1>
      <p class="soft">{say('settings.device')}</p>
      <div class="columns">
        <fieldset class="stack">
          <legend>{say('settings.words')}</legend>
          <Choice
            label={say('settings.language')}
            value={now.language}
            options={LANGUAGES.map((value) => ({ value, label: value === 'en' ? 'English' : 'Español' }))}
            onChange={(language) => {
              setSettings({ language });
            }}
          />
          <Choice
            label={say('settings.decimals')}
            value={now.decimals}
            options={DECIMAL_SIGNS.map((value) => ({ value, label: say(`decimals.${value}`) }))}
            onChange={(decimals) => {
              setSettings({ decimals });
            }}
          />
          <Choice
            label={say('settings.volume')}
            value={now.volumeUnit}
            options={VOLUME_UNITS.map((value) => ({ value, label: say(`unit.${value}`) }))}
            onChange={(volumeUnit) => {
              setSettings({ volumeUnit });
            }}
          />
          <Choice
            label={say('settings.degrees')}
            value={now.degrees}
            options={DEGREES.map((value) => ({ value, label: `°${value}` }))}
            onChange={(degrees) => {
              setSettings({ degrees });
            }}
          />
          <Choice
            label={say('settings.theme')}
            value={now.theme}
            options={THEMES.map((value) => ({ value, label: say(`theme.${value}`) }))}
            onChange={(theme) => {
              setSettings({ theme });
            }}
          />
        </fieldset>
        <Keys />
      </div>
      <OfTheHouse />
    </div>
  );
}
