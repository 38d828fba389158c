import type { AccessToken, NewToken } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask, troubleWords } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { Choice, TextField } from '../parts/field.js';
import { ScrollX } from '../parts/scroll-x.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { announce } from '../state/announce.js';
import { dateTime } from '../words/numbers.js';
import { say } from '../words/say.js';

const SCOPES = ['look', 'record'] as const;

/** Makes a token and shows its secret, this once. */
function MakeToken({ onMade }: { readonly onMade: () => void }): VNode {
  const [name, setName] = useState('');
  const [scope, setScope] = useState<NewToken['scope']>('record');
  const [until, setUntil] = useState('');
  const [secret, setSecret] = useState<string | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const make = (): void => {
    const expiresAt = until === '' ? null : new Date(until).toISOString();
    ask<'addToken'>('post', '/tokens', { body: { name, scope, expiresAt } }).then(
      (made) => {
        setSecret(made.secret);
        setName('');
        setTrouble(null);
        onMade();
      },
      (error: unknown) => {
        setTrouble(troubleWords(error));
      },
    );
  };
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        if (name.trim() !== '') make();
      }}
    >
      <h3>{say('access.new')}</h3>
      <div class="columns">
        <TextField label={say('access.name')} value={name} onInput={setName} required />
        <Choice
          label={say('access.scope')}
          value={scope}
          options={SCOPES.map((value) => ({ value, label: say(`access.scope-${value}`) }))}
          onChange={setScope}
        />
        <TextField
          label={say('access.expires')}
          hint={say('access.expires-hint')}
          type="datetime-local"
          value={until}
          onInput={setUntil}
        />
      </div>
      <Trouble text={trouble} />
      {secret !== null && (
        <p class="note" role="status">
          {say('access.secret')} <code class="secret">{secret}</code>
        </p>
      )}
      <p>
        <button type="submit" class="button main" disabled={name.trim() === ''}>
          {say('access.make')}
        </button>
      </p>
    </form>
  );
}

function TokenRow({ token, onEnded }: { readonly token: AccessToken; readonly onEnded: () => void }): VNode {
  const { id, name, scope, expiresAt, over, madeBy, since } = token;
  const end = (): void => {
    ask<'endToken'>('post', '/tokens/{token}/end', { at: { token: id } }).then(onEnded, (error: unknown) => {
      announce(troubleWords(error), 'trouble');
    });
  };
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>{say(`access.scope-${scope}`)}</td>
      <td>
        {dateTime(since)}, {madeBy}
      </td>
      <td>{expiresAt === null ? '' : dateTime(expiresAt)}</td>
      <td>
        <span class={over ? 'chip bad' : 'chip done'}>{say(over ? 'access.over' : 'access.good')}</span>{' '}
        {!over && (
          <Button look="stern" label={say('access.end-of', { name })} onClick={end}>
            {say('access.end')}
          </Button>
        )}
      </td>
    </tr>
  );
}

/** Programs that may ask and record without a person; for managers. */
export function AccessSection(): VNode {
  const { value, trouble, again } = useAnswer(() => ask<'listTokens'>('get', '/tokens'), []);
  return (
    <section class="sheet stack">
      <h2>{say('access.title')}</h2>
      <p class="soft">{say('access.how')}</p>
      <Trouble text={trouble} />
      {value !== null && value.tokens.length > 0 && (
        <ScrollX label={say('access.title')}>
          <table>
            <thead>
              <tr>
                <th scope="col">{say('access.name')}</th>
                <th scope="col">{say('access.scope')}</th>
                <th scope="col">{say('staff.since')}</th>
                <th scope="col">{say('access.expires')}</th>
                <th scope="col">{say('sign.state')}</th>
              </tr>
            </thead>
            <tbody>
              {value.tokens.map((token) => (
                <TokenRow key={token.id} token={token} onEnded={again} />
              ))}
            </tbody>
          </table>
        </ScrollX>
      )}
      <MakeToken onMade={again} />
    </section>
  );
}
