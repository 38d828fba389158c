import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { TextField } from '../parts/field.js';
import { Trouble } from '../parts/trouble.js';
import { START } from '../state/address.js';
import { goTo, place } from '../state/place.js';
import { session, setSession } from '../state/session.js';
import { say } from '../words/say.js';

/** Sends what was typed; what the server refuses is said in its words. */
function useSend(): { trouble: string | null; send: (asked: Promise<Parameters<typeof setSession>[0]>) => void } {
  const [trouble, setTrouble] = useState<string | null>(null);
  const send = (asked: Promise<Parameters<typeof setSession>[0]>): void => {
    asked.then(
      (next) => {
        setSession(next);
        if (next.who !== null && place.value.screen === 'sign-in') goTo(START);
      },
      (error: unknown) => {
        setTrouble(error instanceof Error ? error.message : String(error));
      },
    );
  };
  return { trouble, send };
}

/** On a machine without accounts: who is at the microscope, for the records. */
function SayName(): VNode {
  const [name, setName] = useState('');
  const { trouble, send } = useSend();
  return (
    <form
      class="sheet stack narrow"
      onSubmit={(event) => {
        event.preventDefault();
        if (name.trim() !== '') send(ask<'sayName'>('put', '/session/name', { body: { name } }));
      }}
    >
      <h1>{say('who.title')}</h1>
      <p>{say('who.why')}</p>
      <TextField label={say('who.name')} value={name} onInput={setName} required autoComplete="name" />
      <Trouble text={trouble} />
      <button type="submit" class="button main" disabled={name.trim() === ''}>
        {say('who.go')}
      </button>
    </form>
  );
}

function WithAccount({ first }: { readonly first: boolean }): VNode {
  const [code, setCode] = useState('');
  const [name, setName] = useState('');
  const [password, setPassword] = useState('');
  const { trouble, send } = useSend();
  const go = (): void => {
    if (first) send(ask<'makeFirstManager'>('post', '/first-manager', { body: { code, name, password } }));
    else send(ask<'signIn'>('post', '/session', { body: { name, password } }));
  };
  return (
    <form
      class="sheet stack narrow"
      onSubmit={(event) => {
        event.preventDefault();
        go();
      }}
    >
      <h1>{say(first ? 'account.first' : 'account.title')}</h1>
      {first && <p>{say('account.first-how')}</p>}
      {first && <TextField label={say('account.code')} value={code} onInput={setCode} required />}
      <TextField label={say('account.name')} value={name} onInput={setName} required autoComplete="username" />
      <TextField
        label={say('account.password')}
        type="password"
        value={password}
        onInput={setPassword}
        required
        autoComplete={first ? 'new-password' : 'current-password'}
      />
      <Trouble text={trouble} />
      <button type="submit" class="button main">
        {say(first ? 'account.become' : 'account.go')}
      </button>
    </form>
  );
}

/** Who is here: a name, or an account where there are accounts; and the way out. */
export function SignInScreen(): VNode {
  const known = session.value;
  const { send } = useSend();
  if (known !== null && known.who !== null) {
    return (
      <div class="sheet stack narrow">
        <h1>{known.who}</h1>
        <p>{say(`role.${known.role ?? 'viewer'}`)}</p>
        <Button
          onClick={() => {
            send(ask<'signOut'>('delete', '/session'));
          }}
        >
          {say('account.out')}
        </Button>
      </div>
    );
  }
  if (known?.way === 'accounts') return <WithAccount first={known.needsFirstManager} />;
  return <SayName />;
}
