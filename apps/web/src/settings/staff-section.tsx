import type { StaffMember } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { Choice, TextField } from '../parts/field.js';
import { ScrollX } from '../parts/scroll-x.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { announce } from '../state/announce.js';
import { session } from '../state/session.js';
import { say } from '../words/say.js';
import { ROLES, SHORTEST } from './accounts.js';
import { StaffRow } from './staff-row.js';

type Role = StaffMember['role'];

function NewMember({ onAdded }: { readonly onAdded: () => void }): VNode {
  const [name, setName] = useState('');
  const [role, setRole] = useState<Role>('counter');
  const [password, setPassword] = useState('');
  const [trouble, setTrouble] = useState<string | null>(null);
  const add = (): void => {
    ask<'addStaff'>('post', '/staff', { body: { name, role, password } }).then(
      () => {
        announce(say('staff.added', { name }));
        setName('');
        setPassword('');
        setTrouble(null);
        onAdded();
      },
      (error: unknown) => {
        setTrouble(error instanceof Error ? error.message : String(error));
      },
    );
  };
  const ready = name.trim() !== '' && password.length >= SHORTEST;
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        if (ready) add();
      }}
    >
      <h3>{say('staff.new')}</h3>
      <div class="columns">
        <TextField label={say('account.name')} value={name} onInput={setName} required autoComplete="off" />
        <Choice
          label={say('staff.role')}
          value={role}
          options={ROLES.map((value) => ({ value, label: say(`role.${value}`) }))}
          onChange={setRole}
        />
        <TextField
          label={say('staff.password')}
          hint={say('staff.password-hint', { n: SHORTEST })}
          type="password"
          value={password}
          onInput={setPassword}
          required
          autoComplete="new-password"
        />
      </div>
      <Trouble text={trouble} />
      <p>
        <button type="submit" class="button main" disabled={!ready}>
          {say('staff.add')}
        </button>
      </p>
    </form>
  );
}

/** Everybody who may sign in, with what they may do; for managers. */
export function StaffSection(): VNode {
  const { value, trouble, again } = useAnswer(() => ask<'listStaff'>('get', '/staff'), []);
  return (
    <section class="sheet stack">
      <h2>{say('staff.title')}</h2>
      <Trouble text={trouble} />
      <ScrollX label={say('staff.title')}>
        <table>
          <thead>
            <tr>
              <th scope="col">{say('account.name')}</th>
              <th scope="col">{say('staff.role')}</th>
              <th scope="col">{say('staff.since')}</th>
              <th scope="col">{say('sign.state')}</th>
            </tr>
          </thead>
          <tbody>
            {value?.staff.map((one) => (
              <StaffRow key={one.id} member={one} onChanged={again} />
            ))}
          </tbody>
        </table>
      </ScrollX>
      <NewMember onAdded={again} />
    </section>
  );
}

/** Changes the own password. */
export function OwnPassword(): VNode {
  const [old, setOld] = useState('');
  const [next, setNext] = useState('');
  const [trouble, setTrouble] = useState<string | null>(null);
  const store = (): void => {
    ask<'changeOwnPassword'>('put', '/session/password', { body: { old, new: next } }).then(
      () => {
        announce(say('staff.password-stored'));
        setOld('');
        setNext('');
        setTrouble(null);
      },
      (error: unknown) => {
        setTrouble(error instanceof Error ? error.message : String(error));
      },
    );
  };
  return (
    <section class="sheet stack">
      <h2>{say('staff.own', { name: session.value?.who ?? '' })}</h2>
      <div class="columns">
        <TextField
          label={say('staff.old')}
          type="password"
          value={old}
          onInput={setOld}
          autoComplete="current-password"
        />
        <TextField
          label={say('staff.password-new')}
          hint={say('staff.password-hint', { n: SHORTEST })}
          type="password"
          value={next}
          onInput={setNext}
          autoComplete="new-password"
        />
      </div>
      <Trouble text={trouble} />
      <p>
        <Button disabled={old === '' || next.length < SHORTEST} onClick={store}>
          {say('staff.change-password')}
        </Button>
      </p>
    </section>
  );
}
