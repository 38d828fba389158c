import type { VNode } from 'preact';
import { hasScreen } from '../screens.js';
import { SETTING_PAGES, START, writeAddress, type Place } from '../state/address.js';
import { place } from '../state/place.js';
import { session } from '../state/session.js';
import { say } from '../words/say.js';
import { Mark } from './mark.js';

const PAGES = ['morning', 'counts', 'batches', 'feed', 'spawns', 'settings'] as const;
type Page = (typeof PAGES)[number];

/** The page of the head that a screen belongs to. */
const BELONGS: Readonly<Partial<Record<Place['screen'], Page>>> = {
  tank: 'morning',
  begin: 'counts',
  'by-eye': 'counts',
  animals: 'spawns',
  photos: 'counts',
  slide: 'counts',
  rows: 'counts',
  lengths: 'counts',
  'sign-off': 'counts',
  print: 'counts',
  after: 'counts',
  plan: 'counts',
  batch: 'batches',
  'batch-report': 'batches',
  setting: 'batches',
  spawn: 'spawns',
  ...Object.fromEntries(SETTING_PAGES.map((screen) => [screen, 'settings'])),
};

const placeOf = (screen: Page | (typeof SETTING_PAGES)[number]): Place =>
  screen === 'feed' || screen === 'morning' ? { screen, day: null } : { screen };

/** One link of a row, marked when its page is open, or a screen that belongs to it. */
function PageLink({ screen }: { readonly screen: Parameters<typeof placeOf>[0] }): VNode {
  const here = place.value.screen;
  const current = here === screen ? 'page' : BELONGS[here] === screen ? 'true' : undefined;
  return (
    <a href={writeAddress(placeOf(screen))} aria-current={current}>
      {say(`nav.${screen}`)}
    </a>
  );
}

/** The row above every screen: where one can go, and who is here. */
export function Head(): VNode {
  const who = session.value?.who ?? null;
  return (
    <header class="head">
      <a class="mark" href={writeAddress(START)}>
        <Mark /> {say('app.name')}
      </a>
      <nav aria-label={say('nav.main')}>
        {PAGES.filter(hasScreen).map((screen) => (
          <PageLink key={screen} screen={screen} />
        ))}
        {who !== null && (
          <a href={writeAddress({ screen: 'sign-in' })} class="who">
            {who}
          </a>
        )}
      </nav>
    </header>
  );
}

/** The row of pages below the settings. */
export function SettingPages(): VNode {
  return (
    <nav class="tabs" aria-label={say('nav.setting-pages')}>
      <a
        href={writeAddress({ screen: 'settings' })}
        aria-current={place.value.screen === 'settings' ? 'page' : undefined}
      >
        {say('nav.house')}
      </a>
      {SETTING_PAGES.filter(hasScreen).map((screen) => (
        <PageLink key={screen} screen={screen} />
      ))}
    </nav>
  );
}
