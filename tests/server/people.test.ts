import { afterEach, describe, expect, it } from 'vitest';
import { BASE } from '@veligrid/api';
import { makeFirstManagerCode } from '../../apps/server/src/people/first-manager-code.js';
import { hashPassword, passwordFits } from '../../apps/server/src/people/passwords.js';
import { asAna, cookieOf, startTestServer, type Got, type TestServer, type Wanted } from './support.ts';

let server: TestServer | null = null;
async function start(wanted: Wanted = {}): Promise<TestServer> {
  server = await startTestServer(wanted);
  return server;
}
afterEach(async () => {
  await server?.close();
  server = null;
});

const HOUR = 3_600_000;
const session = `${BASE}/session`;

async function addManager(at: TestServer, name = 'Rosa', password = 'the tide is out'): Promise<void> {
  const passwordHash = await hashPassword(password, 4);
  await at.house.store.staff.add({ name, role: 'manager', passwordHash, active: true }, { by: 'test' });
}
const signIn = (at: TestServer, name = 'Rosa', password = 'the tide is out'): Promise<Got> =>
  at.send('POST', session, { json: { name, password } });

describe('passwords', () => {
  it('fit their hash and no other', async () => {
    const hash = await hashPassword('the tide is out', 4);
    expect(hash).toMatch(/^scrypt\$4\$/);
    expect(await passwordFits('the tide is out', hash)).toBe(true);
    expect(await passwordFits('the tide is in', hash)).toBe(false);
    expect(await hashPassword('the tide is out', 4)).not.toBe(hash);
  });

  it('are the same however their accents are typed', async () => {
    const composed = 'mar\u00e9e basse';
    const apart = 'mare\u0301e basse';
    expect(await passwordFits(apart, await hashPassword(composed, 4))).toBe(true);
  });

  it('never fit what is no hash', async () => {
    for (const hash of ['', 'scrypt', 'scrypt$99$x$y', 'plain$4$a$b'])
      expect(await passwordFits('a', hash)).toBe(false);
  });
});

describe('on a machine without accounts', () => {
  it('everybody is a manager who says a name', async () => {
    const at = await start();
    expect((await at.send('GET', session)).json).toMatchObject({
      who: null,
      role: 'manager',
      way: 'this-machine',
      needsFirstManager: false,
      demo: false,
    });
    const named = await at.send('PUT', `${session}/name`, { json: { name: ' Ana Vaz ' } });
    expect(named.json).toMatchObject({ who: 'Ana Vaz', role: 'manager' });
    const cookie = cookieOf(named);
    expect((await at.send('GET', session, { cookie })).json).toMatchObject({ who: 'Ana Vaz' });
    const tank = await at.send('POST', `${BASE}/tanks`, { cookie, json: { name: '07' } });
    expect(tank.json).toMatchObject({ name: '07', volumeMl: null });
    expect((await at.house.store.tanks.list())[0].addedBy).toBe('Ana Vaz');
    expect((await at.send('DELETE', session, { cookie })).json).toMatchObject({ who: null, role: 'manager' });
  });

  it('nobody can make staff or become the first manager by chance', async () => {
    const at = await start();
    const json = { name: 'Eve', role: 'manager', password: 'long enough' };
    expect(await at.send('POST', `${BASE}/staff`, { cookie: asAna, json })).toMatchObject({ status: 409 });
    const first = { code: 'AAAA-AAAA-AAAA-AAAA', name: 'Eve', password: 'long enough' };
    expect(await at.send('POST', `${BASE}/first-manager`, { json: first })).toMatchObject({ status: 409 });
  });
});

describe('the first manager', () => {
  it('is made once, by the code from the console', async () => {
    const firstManagerCode = makeFirstManagerCode();
    const at = await start({ accountsWanted: true, firstManagerCode });
    expect((await at.send('GET', session)).json).toMatchObject({
      way: 'accounts',
      needsFirstManager: true,
      role: null,
    });
    const make = (code: string): Promise<Got> =>
      at.send('POST', `${BASE}/first-manager`, { json: { code, name: 'Rosa', password: 'the tide is out' } });
    expect((await make('WRONG')).status).toBe(401);
    const made = await make(firstManagerCode.text.toLowerCase());
    expect(made).toMatchObject({ status: 201, json: { who: 'Rosa', role: 'manager', needsFirstManager: false } });
    expect((await make(firstManagerCode.text)).status).toBe(409);
    expect((await at.send('GET', `${BASE}/staff`, { cookie: cookieOf(made) })).json.staff).toMatchObject([
      { name: 'Rosa', role: 'manager', left: false },
    ]);
  });

  it('needs a code that is good once only and has no letters that look alike', () => {
    const { text, use } = makeFirstManagerCode();
    expect(text).toMatch(/^([A-HJKMNP-Z2-9]{4}-){3}[A-HJKMNP-Z2-9]{4}$/);
    expect([use('AAAA'), use(text), use(text)]).toEqual([false, true, false]);
  });
});

describe('signing in', () => {
  it('sets a cookie that scripts can not read and other sites can not send; only its hash is kept', async () => {
    const at = await start();
    await addManager(at);
    const got = await signIn(at);
    expect(got.status).toBe(200);
    expect(got.cookies[0]).toMatch(
      /^veligrid=[\w-]{43}; Max-Age=43200; Path=\/; Expires=.*; HttpOnly; SameSite=Strict$/,
    );
    const token = /veligrid=([\w-]+)/.exec(got.cookies[0])?.[1] ?? '';
    expect(await at.house.store.signIns.find(token)).toBeNull();
    const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', new TextEncoder().encode(token)));
    expect(await at.house.store.signIns.find(Buffer.from(digest).toString('hex'))).toMatchObject({
      staff: { name: 'Rosa' },
    });
  });

  it('says the same of a wrong name and a wrong password', async () => {
    const at = await start();
    await addManager(at);
    const [name, password] = [await signIn(at, 'Nobody'), await signIn(at, 'Rosa', 'wrong')];
    expect(name.json).toEqual(password.json);
    expect(name.json).toMatchObject({ status: 401, kind: 'not-signed-in', detail: 'Name or password is wrong.' });
  });

  it('waits longer after each wrong try from the sixth on, also for the right password', async () => {
    const at = await start();
    await addManager(at);
    for (let i = 0; i < 5; i += 1) expect((await signIn(at, 'Rosa', 'wrong')).status).toBe(401);
    const locked = await signIn(at);
    expect(locked.json).toMatchObject({ status: 429, kind: 'too-many-tries', retryAfter: 30 });
    expect(locked.headers.get('Retry-After')).toBe('30');
    at.later(31_000);
    expect((await signIn(at, 'rosa', 'wrong')).status).toBe(401);
    expect((await signIn(at)).json.retryAfter).toBeGreaterThan(50);
    at.later(61_000);
    expect((await signIn(at)).status).toBe(200);
    expect((await signIn(at, 'Rosa', 'wrong')).status).toBe(401);
  });

  it('is refused when one address tries too often, whatever the names', async () => {
    const at = await start({ rates: { changes: 1000, secrets: 3 } });
    await addManager(at);
    for (const name of ['a', 'b', 'c']) expect((await signIn(at, name)).status).toBe(401);
    expect(await signIn(at, 'd')).toMatchObject({ status: 429, json: { kind: 'too-many-tries' } });
  });

  it('ends after a shift without a request, and by signing out', async () => {
    const at = await start();
    await addManager(at);
    const cookie = cookieOf(await signIn(at));
    const other = cookieOf(await signIn(at));
    await at.send('DELETE', session, { cookie });
    expect((await at.send('GET', `${BASE}/tanks`, { cookie })).status).toBe(401);
    expect((await at.send('GET', `${BASE}/tanks`, { cookie: other })).status).toBe(200);
    at.later(13 * HOUR);
    expect((await at.send('GET', `${BASE}/tanks`, { cookie: other })).status).toBe(401);
  });

  it('changes the token every hour; the old one is good for a minute', async () => {
    const at = await start();
    await addManager(at);
    const cookie = cookieOf(await signIn(at));
    at.later(2 * HOUR);
    const turned = await at.send('GET', `${BASE}/tanks`, { cookie });
    expect(turned.status).toBe(200);
    const fresh = cookieOf(turned);
    expect(fresh).toMatch(/^veligrid=/);
    expect(fresh).not.toBe(cookie);
    const again = await at.send('GET', `${BASE}/tanks`, { cookie });
    expect([again.status, again.cookies]).toEqual([200, []]);
    at.later(61_000);
    expect((await at.send('GET', `${BASE}/tanks`, { cookie })).status).toBe(401);
    expect((await at.send('GET', `${BASE}/tanks`, { cookie: fresh })).status).toBe(200);
  });
});

describe('staff', () => {
  it('are added, changed and noted as gone by managers; who is changed signs in again', async () => {
    const at = await start();
    const manager = await at.signedIn('manager');
    const json = { name: 'Ben', role: 'counter', password: 'ten letters' };
    const added = await at.send('POST', `${BASE}/staff`, { cookie: manager, json });
    expect(added).toMatchObject({ status: 201, json: { name: 'Ben', role: 'counter', left: false } });
    expect((await at.send('POST', `${BASE}/staff`, { cookie: manager, json: { ...json, name: 'ben' } })).status).toBe(
      409,
    );
    const ben = cookieOf(await signIn(at, 'Ben', 'ten letters'));
    const path = `${BASE}/staff/${String(added.json.id)}`;
    await at.send('PATCH', path, { cookie: manager, json: { role: 'viewer' } });
    expect((await at.send('GET', `${BASE}/tanks`, { cookie: ben })).status).toBe(401);
    expect((await at.send('PATCH', path, { cookie: manager, json: { left: true } })).json).toMatchObject({
      left: true,
    });
    expect((await signIn(at, 'Ben', 'ten letters')).status).toBe(401);
  });

  it('keep one manager', async () => {
    const at = await start();
    const cookie = await at.signedIn('manager');
    const [{ id }] = (await at.send('GET', `${BASE}/staff`, { cookie })).json.staff;
    const refused = await at.send('PATCH', `${BASE}/staff/${String(id)}`, { cookie, json: { role: 'viewer' } });
    expect(refused.json).toMatchObject({ status: 409, detail: 'This is the last manager. Make another one first.' });
  });

  it('change their own password, which signs them out elsewhere', async () => {
    const at = await start();
    await addManager(at);
    const [here, elsewhere] = [cookieOf(await signIn(at)), cookieOf(await signIn(at))];
    const change = (old: string): Promise<Got> =>
      at.send('PUT', `${session}/password`, { cookie: here, json: { old, new: 'the tide is in' } });
    expect(await change('wrong')).toMatchObject({ status: 400, json: { fields: [{ field: 'old' }] } });
    const changed = await change('the tide is out');
    expect(changed.status).toBe(200);
    expect((await at.send('GET', `${BASE}/tanks`, { cookie: elsewhere })).status).toBe(401);
    expect((await at.send('GET', `${BASE}/tanks`, { cookie: cookieOf(changed) })).status).toBe(200);
    expect((await signIn(at, 'Rosa', 'the tide is in')).status).toBe(200);
  });

  it('have passwords of ten characters or more', async () => {
    const at = await start();
    const cookie = await at.signedIn('manager');
    const json = { name: 'Ben', role: 'counter', password: 'nine char' };
    expect(await at.send('POST', `${BASE}/staff`, { cookie, json })).toMatchObject({
      status: 400,
      json: { kind: 'bad-request', fields: [{ field: 'password' }] },
    });
  });
});

describe('settings', () => {
  it('have defaults and are changed one by one', async () => {
    const at = await start();
    const path = `${BASE}/settings`;
    expect((await at.send('GET', path)).json).toMatchObject({ language: 'en', volume: 'litre', calibrationDays: 180 });
    await at.send('PATCH', path, { cookie: asAna, json: { volume: 'us-gallon' } });
    await at.send('PATCH', path, { cookie: asAna, json: { language: 'es' } });
    expect((await at.send('GET', path)).json).toMatchObject({ language: 'es', volume: 'us-gallon' });
    expect((await at.send('PATCH', path, { cookie: asAna, json: { volume: 'pint' } })).status).toBe(400);
    expect((await at.send('PATCH', path, { cookie: asAna, json: { colour: 'red' } })).status).toBe(400);
  });
});
