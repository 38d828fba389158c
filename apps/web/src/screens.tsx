import type { VNode } from 'preact';
import { BeginScreen } from './counts/begin-screen.js';
import { CountsScreen } from './counts/counts-screen.js';
import { later } from './parts/later.js';
import { SettingsScreen } from './settings/settings-screen.js';
import { SignInScreen } from './settings/sign-in-screen.js';
import type { Place, PlaceOfCount } from './state/address.js';

const CalibrationScreen = later(async () => (await import('./calibration/calibration-screen.js')).CalibrationScreen);
const AnimalsScreen = later(async () => (await import('./spawns/animals-screen.js')).AnimalsScreen);
const SpawnsScreen = later(async () => (await import('./spawns/spawns-screen.js')).SpawnsScreen);
const SpawnScreen = later(async () => (await import('./spawns/spawn-screen.js')).SpawnScreen);
const SettingScreen = later(async () => (await import('./setting/setting-screen.js')).SettingScreen);
const ByEyeScreen = later(async () => (await import('./counts/by-eye-screen.js')).ByEyeScreen);
const BatchesScreen = later(async () => (await import('./batches/batches-screen.js')).BatchesScreen);
const BatchScreen = later(async () => (await import('./batches/batch-screen.js')).BatchScreen);
const BatchReport = later(async () => (await import('./batches/batch-report.js')).BatchReport);
const TankScreen = later(async () => (await import('./tanks/tank-screen.js')).TankScreen);
const AfterScreen = later(async () => (await import('./after/after-screen.js')).AfterScreen);
const PlanScreen = later(async () => (await import('./after/plan-screen.js')).PlanScreen);
const FiguresScreen = later(async () => (await import('./figures/figures-screen.js')).FiguresScreen);
const RulesScreen = later(async () => (await import('./rules/rules-screen.js')).RulesScreen);

const MorningScreen = later(async () => (await import('./morning/morning-screen.js')).MorningScreen);
const FeedScreen = later(async () => (await import('./feed/feed-screen.js')).FeedScreen);

const TanksPage = later(async () => (await import('./settings/tanks-page.js')).TanksPage);
const CulturesPage = later(async () => (await import('./settings/cultures-page.js')).CulturesPage);
const BackupsPage = later(async () => (await import('./settings/backups-page.js')).BackupsPage);

type About = Extract<Place, { readonly id: string }>;
type Alone = Exclude<Place, PlaceOfCount | About>;

const dayOf = (here: Alone): string | null => ('day' in here ? here.day : null);

/** Screens that belong to nothing else. */
const ALONE: Readonly<Partial<Record<Alone['screen'], (here: Alone) => VNode>>> = {
  morning: (here) => <MorningScreen day={dayOf(here)} />,
  feed: (here) => <FeedScreen day={dayOf(here)} />,
  counts: () => <CountsScreen />,
  begin: (here) => <BeginScreen batch={here.screen === 'begin' ? (here.batch ?? '') : ''} />,
  'by-eye': () => <ByEyeScreen />,
  spawns: () => <SpawnsScreen />,
  animals: (here) => <AnimalsScreen marked={'animal' in here ? (here.animal ?? null) : null} />,
  batches: () => <BatchesScreen />,
  calibration: () => <CalibrationScreen />,
  tanks: () => <TanksPage />,
  cultures: () => <CulturesPage />,
  backups: () => <BackupsPage />,
  figures: () => <FiguresScreen />,
  rules: () => <RulesScreen />,
  settings: () => <SettingsScreen />,
  'sign-in': () => <SignInScreen />,
};

/** Screens about one batch, tank or spawn. */
const ABOUT: Readonly<Partial<Record<About['screen'], (id: string) => VNode>>> = {
  spawn: (id) => <SpawnScreen id={id} />,
  setting: (id) => <SettingScreen batchId={id} />,
  batch: (id) => <BatchScreen id={id} />,
  'batch-report': (id) => <BatchReport id={id} />,
  after: (id) => <AfterScreen key={id} id={id} />,
  plan: (id) => <PlanScreen key={id} id={id} />,
  tank: (id) => <TankScreen id={id} />,
};

/** Whether there is a screen at an address, so that nothing leads nowhere. */
export const hasScreen = (screen: Place['screen']): boolean => screen in ALONE || screen in ABOUT;

/** The screen of a place outside counts. */
export function screenOf(here: Alone | About): VNode {
  const screen = 'id' in here ? ABOUT[here.screen]?.(here.id) : ALONE[here.screen]?.(here);
  return screen ?? <CountsScreen />;
}
