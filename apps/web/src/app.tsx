import { useEffect } from 'preact/hooks';
import type { ComponentChild, VNode } from 'preact';
import { Content, Frame } from './parts/frame.js';
import { SettingPages } from './parts/head.js';
import { OfCount } from './parts/of-count.js';
import { screenOf } from './screens.js';
import { SignInScreen } from './settings/sign-in-screen.js';
import { isOfSettings } from './state/address.js';
import { place } from './state/place.js';
import { loadSession, session } from './state/session.js';
import { say } from './words/say.js';

/** The screen that the address names. */
function screen(): ComponentChild {
  const here = place.value;
  if ('count' in here) return <OfCount here={here} />;
  return (
    <Content>
      {isOfSettings(here.screen) && <SettingPages />}
      {screenOf(here)}
    </Content>
  );
}

/** What is said, or asked, before there is anybody to show a screen to. */
function Before({ known }: { readonly known: boolean }): VNode {
  if (known) return <SignInScreen />;
  return (
    <p class="sheet" role="status">
      {say('app.loading')}
    </p>
  );
}

/** The whole page: nothing before the server has said who is here, then what the address names. */
export function App(): VNode {
  useEffect(() => {
    void loadSession();
  }, []);
  const who = session.value?.who ?? null;
  return (
    <Frame>
      {who === null ? (
        <Content>
          <Before known={session.value !== null} />
        </Content>
      ) : (
        screen()
      )}
    </Frame>
  );
}
