import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { nodeRefusal } from '../../tools/node-version.mjs';

describe('nodeRefusal', () => {
  it.each(['20.19.0', '20.20.2', '20.99.1'])('lets Node %s pass', (version) => {
    expect(nodeRefusal(version)).toBeUndefined();
  });

  it.each(['18.20.8', '20.18.3', '21.0.0', '22.12.0'])('refuses Node %s and says which to get', (version) => {
    expect(nodeRefusal(version)).toBe(
      `Veligrid needs Node 20.19 or a later Node 20, but this is Node ${version}. Get one from https://nodejs.org/en/download and try again.`,
    );
  });

  it.each(['package.json', 'packages/model/package.json', 'packages/imaging/package.json', 'apps/cli/package.json'])(
    'asks for what %s asks for',
    (path) => {
      const { engines } = JSON.parse(readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8')) as {
        engines: { node: string };
      };
      expect(engines.node).toBe('>=20.19 <21');
    },
  );
});
