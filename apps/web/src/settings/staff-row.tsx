import type { StaffMember } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask, type Asked } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { TextField } from '../parts/field.js';
import { announce } from '../state/announce.js';
import { dateTime } from '../words/numbers.js';
import { say } from '../words/say.js';
import { ROLES, SHORTEST } from './accounts.js';

type Changes = NonNullable<Asked<'changeStaff'>['body']>;

interface Props {
  readonly member: StaffMember;
  readonly onChange: (changes: Changes) => void;
}

/** Sets a new password for somebody who forgot theirs. */
function NewPassword({ member: { name }, onChange }: Props): VNode {
  const [password, setPassword] = useState('');
  return (
    <details>
      <summary>{say('staff.password-new')}</summary>
      <TextField
        label={say('staff.password-of', { name })}
        hint={say('staff.password-hint', { n: SHORTEST })}
        type="password"
        value={password}
        onInput={setPassword}
        autoComplete="new-password"
      />
      <Button
        disabled={password.length < SHORTEST}
        onClick={() => {
          onChange({ password });
          setPassword('');
        }}
      >
        {say('staff.set-password')}
      </Button>
    </details>
  );
}

function RoleOf({ member: { name, role, left }, onChange }: Props): VNode {
  return (
    <select
      aria-label={say('staff.role-of', { name })}
      value={role}
      disabled={left}
      onChange={({ currentTarget }) => {
        onChange({ role: currentTarget.value as StaffMember['role'] });
      }}
    >
      {ROLES.map((one) => (
        <option key={one} value={one} selected={one === role}>
          {say(`role.${one}`)}
        </option>
      ))}
    </select>
  );
}

/** One of the staff: role, a new password, and whether they still work here. */
export function StaffRow({
  member,
  onChanged,
}: {
  readonly member: StaffMember;
  readonly onChanged: () => void;
}): VNode {
  const { id, name, left, since } = member;
  const change = (body: Changes): void => {
    ask<'changeStaff'>('patch', '/staff/{staff}', { at: { staff: id }, body })
      .then(
        () => {
          announce(say('staff.changed', { name }));
        },
        (error: unknown) => {
          announce(error instanceof Error ? error.message : String(error), 'trouble');
        },
      )
      .finally(onChanged);
  };
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>
        <RoleOf member={member} onChange={change} />
      </td>
      <td>{dateTime(since)}</td>
      <td>
        <span class={left ? 'chip bad' : 'chip done'}>{say(left ? 'staff.left' : 'staff.here')}</span>{' '}
        <Button
          label={say(left ? 'staff.back-of' : 'staff.leave-of', { name })}
          onClick={() => {
            change({ left: !left });
          }}
        >
          {say(left ? 'staff.back' : 'staff.leave')}
        </Button>
        {!left && <NewPassword member={member} onChange={change} />}
      </td>
    </tr>
  );
}
