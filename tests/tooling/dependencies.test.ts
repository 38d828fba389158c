import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

interface Manifest {
  readonly dependencies?: Record<string, string>;
  readonly devDependencies?: Record<string, string>;
  readonly peerDependencies?: Record<string, string>;
}

const read = (path: string): string => readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8');
const manifests = [
  'package.json',
  'packages/model/package.json',
  'packages/imaging/package.json',
  'packages/storage/package.json',
  'packages/jobs/package.json',
  'packages/api/package.json',
  'apps/cli/package.json',
  'apps/web/package.json',
  'apps/server/package.json',
];
const used = manifests.flatMap((path) => {
  const { dependencies, devDependencies, peerDependencies } = JSON.parse(read(path)) as Manifest;
  return Object.entries({ ...dependencies, ...devDependencies, ...peerDependencies });
});

describe('dependencies', () => {
  it('are pinned to one exact version each', () => {
    expect(used.length).toBeGreaterThan(20);
    for (const [name, version] of used) expect(version, name).toMatch(/^\d+\.\d+\.\d+(-\d+)?$/);
    expect(new Set(used.map(([name]) => name)).size).toBe(new Set(used.map((entry) => entry.join('@'))).size);
  });

  it('are the ones that docs/dependencies.md explains, in the version it names', () => {
    const rows = [...read('docs/dependencies.md').matchAll(/^\| `([^`]+)` *\| ([^ |]+) *\|/gm)];
    const explained = rows.map(([, name, version]) => `${name}@${version}`);
    const outside = used.filter(([name]) => !name.startsWith('@veligrid/')).map((entry) => entry.join('@'));
    expect(explained.toSorted()).toEqual([...new Set(outside)].toSorted());
  });

  it('have the licence and the install script that docs/dependencies.md says', () => {
    const lock = JSON.parse(read('package-lock.json')) as {
      packages: Record<string, { license?: string; hasInstallScript?: boolean } | undefined>;
    };
    const rows = [...read('docs/dependencies.md').matchAll(/^\| `([^`]+)` *\| [^|]+\| ([^|]+?) *\| ([^|]+?) *\|/gm)];
    expect(rows.length).toBeGreaterThan(50);
    for (const [, name, licence, script] of rows) {
      const entry = lock.packages[`node_modules/${name}`];
      // an optional peer is not installed, and one package leaves its licence out of its manifest
      if (entry?.license !== undefined) expect(licence.split(';')[0], name).toBe(entry.license);
      expect(script, name).toBe(entry?.hasInstallScript === true ? 'yes, never run' : 'no');
    }
  });

  it('run no script of their own when they are installed', () => {
    const lock = JSON.parse(read('package-lock.json')) as { packages: Record<string, { hasInstallScript?: boolean }> };
    const scripted = Object.entries(lock.packages)
      .filter(([, entry]) => entry.hasInstallScript)
      .map(([path]) => path.replace(/^.*node_modules\//, ''));
    const { allowScripts } = JSON.parse(read('package.json')) as { allowScripts: Record<string, boolean> };
    expect(allowScripts).toEqual(Object.fromEntries(scripted.map((name) => [name, false])));
    expect(read('.npmrc').split('\n')).toContain('ignore-scripts=true');
  });
});
