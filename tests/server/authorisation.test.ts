import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BASE, routes, type Route } from '@veligrid/api';
import { ROLES } from '@veligrid/storage';
import { startTestServer, type TestServer } from './support.ts';

/** Every route with every role: what is not in the table can't be mounted, so no route goes without. */
const cases = Object.entries<Route>(routes).flatMap(([name, route]) =>
  ([null, ...ROLES] as const).map((role) => ({ name, route, role, who: role ?? 'nobody' })),
);

let server: TestServer;

beforeAll(async () => {
  server = await startTestServer({ accountsWanted: true });
});
afterAll(() => server.close());

const address = (path: string): string => BASE + path.replaceAll(/\{\w+\}/g, 'x');

// each request is sent by somebody who has just signed in: signing out and the like end a sign-in
describe('every route', () => {
  it.each(cases)('$name for $who', async ({ route, role }) => {
    const cookie = role === null ? {} : { cookie: await server.signedIn(role) };
    const json = ['get', 'delete'].includes(route.method) ? {} : { json: {} };
    const { status } = await server.send(route.method.toUpperCase(), address(route.path), { ...cookie, ...json });
    if (route.role === 'anyone') expect(status).not.toBe(403);
    else if (role === null) expect(status).toBe(401);
    else if (ROLES.indexOf(role) < ROLES.indexOf(route.role)) expect(status).toBe(403);
    else expect([401, 403]).not.toContain(status);
    expect(status).not.toBe(500);
  });

  it('is refused on a machine without accounts until somebody says who is at the microscope, but for looking', async () => {
    const local = await startTestServer();
    for (const route of Object.values<Route>(routes)) {
      if (route.role === 'anyone') continue;
      const json = ['get', 'delete'].includes(route.method) ? {} : { json: {} };
      const { status } = await local.send(route.method.toUpperCase(), address(route.path), json);
      if (route.role === 'viewer' && route.path !== '/session/password') expect([401, 403]).not.toContain(status);
      else if (route.role !== 'viewer') expect(status).toBe(401);
    }
    await local.close();
  });
});
