import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASE, routes, type Route } from '@veligrid/api';
import { startTestServer, type Got, type TestServer } from './support.ts';

let at: TestServer;
let manager: string;
const DAY = 86_400_000;

beforeAll(async () => {
  at = await startTestServer({ accountsWanted: true });
  manager = await at.signedIn('manager');
});
afterAll(() => at.close());

const make = async (json: object): Promise<{ readonly id: string; readonly secret: string }> => {
  const made = await at.send('POST', `${BASE}/tokens`, { cookie: manager, json });
  expect(made.status).toBe(201);
  const { token, secret } = made.json as { token: { id: string }; secret: string };
  return { id: token.id, secret };
};

/** As a program sends it: no cookie, and no word of which page it comes from. */
const asProgram = async (secret: string, method: string, path: string, json?: unknown): Promise<Got> => {
  const sent = json === undefined ? {} : { json };
  return at.send(method, BASE + path, {
    ...sent,
    headers: { Authorization: `Bearer ${secret}`, 'Sec-Fetch-Site': '' },
  });
};

describe('an access token', () => {
  it('tells its secret once, and only its hash is kept', async () => {
    const { id, secret } = await make({ name: 'Feed controller', scope: 'record' });
    expect(secret).toMatch(/^veligrid_[\w-]{43}$/);
    const listed = await at.send('GET', `${BASE}/tokens`, { cookie: manager });
    expect(listed.text).not.toContain(secret);
    expect(listed.json.tokens).toMatchObject([{ id, name: 'Feed controller', scope: 'record', over: false }]);
    expect(JSON.stringify(await at.house.store.tokens.history(id))).not.toContain(secret.slice(9));
  });

  it('to look may look, and change nothing', async () => {
    const { secret } = await make({ name: 'Screen in the hall', scope: 'look' });
    expect((await asProgram(secret, 'GET', '/tanks')).status).toBe(200);
    expect((await asProgram(secret, 'POST', '/tanks', { name: '9' })).status).toBe(403);
  });

  it('to record is written down by its name', async () => {
    const { secret } = await make({ name: 'Water logger', scope: 'record' });
    const fields = { temperature_c: '26.1' };
    expect((await asProgram(secret, 'POST', '/entries/water', { fields })).status).toBe(201);
    expect((await at.house.store.waterNotes.list()).map(({ by }) => by)).toEqual(['Water logger']);
  });

  it('never decides, signs off or manages: that takes a person', async () => {
    const { secret } = await make({ name: 'Script', scope: 'record' });
    const people = Object.values<Route>(routes).filter(
      ({ peopleOnly = false, role }) => peopleOnly || role === 'manager',
    );
    expect(people.length).toBeGreaterThan(10);
    for (const { method, path } of people) {
      const json = ['get', 'delete'].includes(method) ? undefined : {};
      const { status } = await asProgram(secret, method.toUpperCase(), path.replaceAll(/\{\w+\}/g, 'x'), json);
      expect([path, status]).toEqual([path, 403]);
    }
    const count = { fields: { tank: '1', container_ml: '1', counts: '1', volume_ml: '1' } };
    expect((await asProgram(secret, 'POST', '/entries/count', count)).status).toBe(403);
  });

  it('that is wrong, run out or ended opens nothing, not even with the cookie of a manager', async () => {
    const until = new Date(at.house.now().getTime() + DAY).toISOString();
    const short = await make({ name: 'For a day', scope: 'look', expiresAt: until });
    const ended = await make({ name: 'Ended', scope: 'look' });
    expect((await asProgram(short.secret, 'GET', '/tanks')).status).toBe(200);
    await at.send('POST', `${BASE}/tokens/${ended.id}/end`, { cookie: manager, json: {} });
    expect((await asProgram(ended.secret, 'GET', '/tanks')).status).toBe(401);
    const headers = { Authorization: 'Bearer veligrid_wrong' };
    expect((await at.send('GET', `${BASE}/tanks`, { cookie: manager, headers })).status).toBe(401);
    at.later(2 * DAY);
    expect((await asProgram(short.secret, 'GET', '/tanks')).status).toBe(401);
    manager = await at.signedIn('manager');
    const { tokens } = (await at.send('GET', `${BASE}/tokens`, { cookie: manager })).json as {
      tokens: { name: string; over: boolean }[];
    };
    expect(tokens.filter(({ over }) => over).map(({ name }) => name)).toEqual(['For a day', 'Ended']);
  });
});

describe('what happened at the door', () => {
  it('is written down without passwords, and without names that nobody has', async () => {
    const door = await startTestServer();
    const { hashPassword } = await import('../../apps/server/src/people/passwords.js');
    const passwordHash = await hashPassword('the tide is out', 4);
    await door.house.store.staff.add({ name: 'Rosa', role: 'manager', passwordHash, active: true }, { by: 'test' });
    const session = `${BASE}/session`;
    await door.send('POST', session, { json: { name: 'my password 123', password: 'x' } });
    await door.send('POST', session, { json: { name: 'rosa', password: 'the tide is in' } });
    const { cookies } = await door.send('POST', session, { json: { name: 'Rosa', password: 'the tide is out' } });
    const cookie = cookies.map((one) => one.split(';')[0]).join('; ');
    const told = await door.send('GET', `${BASE}/door-events`, { cookie });
    const events = told.json.events as { what: string; by: string; about: string | null }[];
    expect(events.map(({ what, by, about }) => [what, by, about])).toEqual([
      ['signed-in', 'Rosa', 'Rosa'],
      ['wrong-password', 'Rosa', 'Rosa'],
      ['wrong-password', 'nobody', null],
    ]);
    expect(JSON.stringify(await door.house.store.signInEvents.latest(10))).not.toContain('my password');
    await door.close();
  });
});
