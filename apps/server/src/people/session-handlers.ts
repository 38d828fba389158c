import type { Session } from '@veligrid/api';
import type { Kept, SignInEventFields, StaffFields } from '@veligrid/storage';
import type { Call, Handlers, Person } from '../http/call.js';
import { ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';
import { hashPassword, passwordFits } from './passwords.js';
import { readSettings } from './settings.js';
import { accountsExist, endSignIn, rememberName, startSignIn } from './sign-ins.js';

/** Setting that marks a data folder as made for the demo. */
export const DEMO_KEY = 'demo';

async function sessionOf(house: House, person: Person): Promise<Session> {
  const exist = await accountsExist(house);
  const way = house.accountsWanted || exist ? 'accounts' : 'this-machine';
  return {
    who: person.name,
    role: person.role,
    way,
    needsFirstManager: way === 'accounts' && !exist,
    demo: (await house.store.settings.get(DEMO_KEY)) === true,
    settings: await readSettings(house),
    version: house.version,
  };
}

/** @throws ProblemError with the seconds to wait when one of the keys is locked */
function checkLock(house: House, keys: readonly string[]): void {
  const retryAfter = Math.max(...keys.map((key) => house.lockOut.wait(key)));
  if (retryAfter > 0) {
    throw new ProblemError('too-many-tries', `Too many wrong tries. Wait ${String(retryAfter)} seconds.`, {
      retryAfter,
      code: 'too-many',
      data: { seconds: retryAfter },
    });
  }
}

const WRONG = 'Name or password is wrong.';

/** Writes down what happened at the door; a name that nobody has is not written, as people type passwords there. */
async function note(house: House, what: SignInEventFields['what'], who: Kept<StaffFields> | null): Promise<void> {
  const event = { what, staffId: who?.id ?? null, tokenId: null };
  await house.store.signInEvents.append(event, { by: who?.name ?? 'nobody' });
}

async function signIn({ house, body, req, res, person }: Call<'signIn'>): Promise<Session> {
  // by name and address, so that a stranger elsewhere can't lock a person out at the bench
  const keys = [`${body.name.toLowerCase()} ${req.ip ?? ''}`];
  checkLock(house, keys);
  const found = await house.store.staff.named(body.name);
  // an unknown name takes as long as a wrong password, so that names can't be found out by the clock
  const hash = found?.passwordHash ?? (await hashPassword('nobody', house.passwordCost));
  const fits = await passwordFits(body.password, hash);
  if (found === null || found.passwordHash === null || !found.active || !fits) {
    for (const key of keys) house.lockOut.failed(key);
    await note(house, keys.some((key) => house.lockOut.wait(key) > 0) ? 'locked-out' : 'wrong-password', found);
    throw new ProblemError('not-signed-in', WRONG, { code: 'wrong-password' });
  }
  for (const key of keys) house.lockOut.passed(key);
  if (person.tokenHash !== null) await house.store.signIns.remove(person.tokenHash);
  const tokenHash = await startSignIn(house, res, found.id);
  await note(house, 'signed-in', found);
  return sessionOf(house, { name: found.name, role: found.role, staffId: found.id, tokenHash, isProgram: false });
}

async function makeFirstManager({ house, body, req, res }: Call<'makeFirstManager'>): Promise<Session> {
  if (house.firstManagerCode === null || (await accountsExist(house))) {
    throw new ProblemError(
      'refused',
      'There is no first manager to be made here. Start with: veligrid serve --accounts',
    );
  }
  const key = `first manager ${req.ip ?? ''}`;
  checkLock(house, [key]);
  const passwordHash = await hashPassword(body.password, house.passwordCost);
  if (!house.firstManagerCode.use(body.code)) {
    house.lockOut.failed(key);
    throw new ProblemError('not-signed-in', 'The code is wrong or used. The console of the server shows it.', {
      code: 'wrong-code',
    });
  }
  const made = await house.store.staff.add(
    { name: body.name, role: 'manager', passwordHash, active: true },
    { by: body.name, why: 'first manager, by the code from the console' },
  );
  const tokenHash = await startSignIn(house, res, made.id);
  await note(house, 'signed-in', made);
  return sessionOf(house, { name: made.name, role: 'manager', staffId: made.id, tokenHash, isProgram: false });
}

async function changeOwnPassword({
  house,
  body,
  person,
  res,
  by,
}: Call<'changeOwnPassword'>): Promise<Record<string, never>> {
  const own = person.staffId === null ? null : await house.store.staff.get(person.staffId);
  if (own === null || own.passwordHash === null)
    throw new ProblemError('refused', 'There are no accounts here, so no password to change.');
  checkLock(house, [own.id]);
  if (!(await passwordFits(body.old, own.passwordHash))) {
    house.lockOut.failed(own.id);
    throw new ProblemError('bad-request', 'The old password is wrong.', {
      code: 'old-password-wrong',
      fields: [{ field: 'old', message: 'is wrong' }],
    });
  }
  const passwordHash = await hashPassword(body.new, house.passwordCost);
  await house.store.staff.change(own.id, own.revision, { passwordHash }, { by });
  await house.store.signIns.removeOf(own.id);
  await startSignIn(house, res, own.id);
  await note(house, 'password-changed', own);
  return {};
}

export const sessionHandlers: Handlers<
  'getSession' | 'signIn' | 'sayName' | 'signOut' | 'makeFirstManager' | 'changeOwnPassword'
> = {
  getSession: ({ house, person }) => sessionOf(house, person),
  signIn,
  sayName: async ({ house, body, person, res }) => {
    if (house.accountsWanted || (await accountsExist(house))) {
      throw new ProblemError('refused', 'Staff sign in here with name and password.');
    }
    rememberName(house, res, body.name);
    return sessionOf(house, { ...person, name: body.name });
  },
  signOut: async ({ house, person, res }) => {
    const own = person.staffId === null ? null : await house.store.staff.get(person.staffId);
    if (own !== null) await note(house, 'signed-out', own);
    await endSignIn(house, res, person.tokenHash);
    rememberName(house, res, null);
    const accounts = person.staffId !== null || house.accountsWanted || (await accountsExist(house));
    return sessionOf(house, {
      name: null,
      role: accounts ? null : 'manager',
      staffId: null,
      tokenHash: null,
      isProgram: false,
    });
  },
  makeFirstManager,
  changeOwnPassword,
};
