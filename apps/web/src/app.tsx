import { useEffect } from 'preact/hooks';
import type { ComponentChild, VNode } from 'preact';
import { CalibrationScreen } from './calibration/calibration-screen.js';
import { BeginScreen } from './counts/begin-screen.js';
import { CountsScreen } from './counts/counts-screen.js';
import { Content, Frame } from './parts/frame.js';
import { OfCount } from './parts/of-count.js';
import { RulesScreen } from './rules/rules-screen.js';
import { SettingsScreen } from './settings/settings-screen.js';
import { SignInScreen } from './settings/sign-in-screen.js';
import type { Place, PlaceOfCount } from './state/address.js';
import { place } from './state/place.js';
import { loadSession, session } from './state/session.js';
import { say } from './words/say.js';

const page = (content: VNode): VNode => <Content>{content}</Content>;

type Alone = Exclude<Place['screen'], PlaceOfCount['screen']>;

/** Screens that belong to no count. */
const SCREENS: Readonly<Record<Alone, () => VNode>> = {
  counts: () => <CountsScreen />,
  begin: () => <BeginScreen />,
  calibration: () => <CalibrationScreen />,
  rules: () => <RulesScreen />,
  settings: () => <SettingsScreen />,
  'sign-in': () => <SignInScreen />,
};

/** The screen that the address names. */
function screen(): ComponentChild {
  const here = place.value;
  return 'count' in here ? <OfCount here={here} /> : page(SCREENS[here.screen]());
}

/** The whole page: nothing before the server has said who is here, then what the address names. */
export function App(): VNode {
  useEffect(() => {
    void loadSession();
  }, []);
  const known = session.value;
  if (known === null) {
    return (
      <Frame>
        <Content>
          <p class="sheet" role="status">
            {say('app.loading')}
          </p>
        </Content>
      </Frame>
    );
  }
  return <Frame>{known.who === null ? page(<SignInScreen />) : screen()}</Frame>;
}
