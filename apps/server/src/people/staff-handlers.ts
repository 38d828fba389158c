import type { StaffMember } from '@veligrid/api';
import type { Kept, StaffFields } from '@veligrid/storage';
import type { Call, Handlers } from '../http/call.js';
import { notThere, ProblemError } from '../http/problem-error.js';
import { hashPassword } from './passwords.js';
import { accountsExist } from './sign-ins.js';

const member = ({ id, name, role, active, addedAt }: Kept<StaffFields>): StaffMember => ({
  id,
  name,
  role,
  left: !active,
  since: addedAt,
});

const isManager = ({ role, active, passwordHash }: StaffFields): boolean =>
  role === 'manager' && active && passwordHash !== null;

async function addStaff({ house, body, by }: Call<'addStaff'>): Promise<StaffMember> {
  if (!(await accountsExist(house))) {
    throw new ProblemError(
      'refused',
      'Make the first manager before other staff. Start with: veligrid serve --accounts',
    );
  }
  if ((await house.store.staff.named(body.name)) !== null) {
    throw new ProblemError('refused', `There is a ${body.name} already. Choose another name.`, {
      code: 'name-taken',
      data: { name: body.name },
    });
  }
  const passwordHash = await hashPassword(body.password, house.passwordCost);
  return member(await house.store.staff.add({ name: body.name, role: body.role, passwordHash, active: true }, { by }));
}

async function changeStaff({ house, body, params, by }: Call<'changeStaff'>): Promise<StaffMember> {
  const { store } = house;
  const found = await store.staff.get(params['staff'] ?? '');
  if (found === null) throw notThere('member of staff');
  const changes: Partial<StaffFields> = {
    ...(body.role === undefined ? {} : { role: body.role }),
    ...(body.left === undefined ? {} : { active: !body.left }),
    ...(body.password === undefined ? {} : { passwordHash: await hashPassword(body.password, house.passwordCost) }),
  };
  const others = (await store.staff.list()).filter(({ id }) => id !== found.id);
  if (isManager(found) && !isManager({ ...found, ...changes }) && !others.some(isManager)) {
    throw new ProblemError('refused', 'This is the last manager. Make another one first.', { code: 'last-manager' });
  }
  const changed = await store.staff.change(found.id, found.revision, changes, { by });
  // what they may do, or their password, is different now: they sign in again
  await store.signIns.removeOf(found.id);
  return member(changed);
}

export const staffHandlers: Handlers<'listStaff' | 'addStaff' | 'changeStaff'> = {
  listStaff: async ({ house }) => ({ staff: (await house.store.staff.list()).map(member) }),
  addStaff,
  changeStaff,
};
