import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { cruise, type ICruiseResult } from 'dependency-cruiser';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));
const { forbidden, options } = createRequire(import.meta.url)(join(root, '.dependency-cruiser.cjs')) as {
  forbidden: { name: string }[];
  options: object;
};
const rooms = ['model', 'imaging', 'review', 'estimation', 'hatchery', 'storage', 'jobs', 'api'];
const apps = ['cli', 'server', 'web'];
const libraries = [
  'sharp',
  'fast-bmp',
  'geotiff',
  'heic-decode',
  'opencv-wasm',
  'onnxruntime-node',
  'express',
  'kysely',
  'libsql',
  'pg',
  '@aws-sdk/client-s3',
];

/** Each planted file with its import and the rule that has to refuse it. */
const planted: readonly (readonly [file: string, statement: string, rule: string])[] = [
  ['packages/model/src/bad-package.ts', `import '@veligrid/imaging';`, 'direction-packages-model'],
  ['packages/model/src/bad-node.ts', `import 'node:fs';`, 'model-touches-nothing'],
  ['packages/imaging/src/bad.ts', `import '@veligrid/review';`, 'direction-packages-imaging'],
  ['packages/review/src/bad.ts', `import '@veligrid/imaging';`, 'direction-packages-review'],
  ['packages/estimation/src/bad.ts', `import '@veligrid/review';`, 'direction-packages-estimation'],
  ['packages/estimation/src/bad-node.ts', `import 'node:fs';`, 'no-node'],
  ['packages/hatchery/src/bad.ts', `import '@veligrid/storage';`, 'direction-packages-hatchery'],
  ['packages/storage/src/bad.ts', `import '@veligrid/imaging';`, 'direction-packages-storage'],
  ['packages/season/src/bad.ts', `import '@veligrid/jobs';`, 'direction-packages-season'],
  ['packages/jobs/src/bad.ts', `import '@veligrid/review';`, 'direction-packages-jobs'],
  ['packages/imaging/src/bad-app.ts', `import '../../../apps/cli/src/index.js';`, 'direction-packages-imaging'],
  ['packages/api/src/bad.ts', `import '@veligrid/review';`, 'direction-packages-api'],
  ['packages/api/src/bad-node.ts', `import 'node:fs';`, 'no-node'],
  ['apps/web/src/bad-api.ts', `import { here } from '@veligrid/api';`, 'api-types-only-in-web'],
  ['apps/web/src/bad.ts', `import '@veligrid/imaging';`, 'direction-apps-web'],
  ['apps/cli/src/bad.ts', `import '../../web/src/index.js';`, 'direction-apps-cli'],
  ['apps/cli/src/bad-server.ts', `import '../../server/src/inner.js';`, 'enter-by-index'],
  ['apps/web/src/bad-server.ts', `import '../../server/src/index.js';`, 'direction-apps-web'],
  ['apps/server/src/bad.ts', `import '../../cli/src/index.js';`, 'direction-apps-server'],
  ['apps/cli/src/bad-inner.ts', `import '../../../packages/model/src/inner.js';`, 'enter-by-index'],
  ['apps/cli/src/bad-type.ts', `import type { Inner } from '../../../packages/model/src/inner.js';`, 'enter-by-index'],
  ['packages/imaging/src/cv/bad.ts', `import 'sharp';`, 'one-door-sharp'],
  ['packages/storage/src/bad-pg.ts', `import 'pg';`, 'one-door-pg'],
  [
    'packages/storage/src/bad-s3.ts',
    `export const s3 = () => import('@aws-sdk/client-s3');`,
    'one-door-@aws-sdk/client-s3',
  ],
  ['apps/cli/src/bad-sharp.ts', `import 'sharp';`, 'one-door-sharp'],
  ['packages/imaging/src/bad-bmp.ts', `import 'fast-bmp';`, 'one-door-fast-bmp'],
  ['packages/imaging/src/bad-tiff.ts', `import 'geotiff';`, 'one-door-geotiff'],
  ['packages/imaging/src/bad-heic.ts', `export const heic = () => import('heic-decode');`, 'one-door-heic-decode'],
  ['packages/imaging/src/find/bad.ts', `import 'opencv-wasm';`, 'one-door-opencv-wasm'],
  [
    'packages/imaging/src/bad-require.ts',
    `import { createRequire } from 'node:module';\nconst require = createRequire(import.meta.url);\nrequire('opencv-wasm');`,
    'one-door-opencv-wasm',
  ],
  ['packages/imaging/src/cv/bad-net.ts', `import 'onnxruntime-node';`, 'one-door-onnxruntime'],
  ['apps/cli/src/bad-express.ts', `import 'express';`, 'one-door-express'],
  ['apps/server/src/bad-kysely.ts', `import 'kysely';`, 'one-door-kysely'],
  ['apps/server/src/bad-libsql.ts', `import 'libsql';`, 'one-door-libsql'],
  ['packages/imaging/src/round-a.ts', `import './round-b.js';`, 'no-circles'],
  ['packages/imaging/src/bad-missing.ts', `import './nowhere.js';`, 'resolvable'],
  ['packages/imaging/src/bad-development.ts', `import 'vitest';`, 'no-development-packages'],
];

/** What the same rules must let through. */
const allowed: readonly (readonly [file: string, statement: string])[] = [
  ['packages/imaging/src/photo/good.ts', `import 'sharp';\nimport '@veligrid/model';\nimport 'node:fs';`],
  ['packages/imaging/src/cv/good.ts', `import 'opencv-wasm';`],
  ['packages/imaging/src/find/good.ts', `import 'onnxruntime-node';`],
  ['apps/cli/src/good-server.ts', `import '../../server/src/index.js';`],
  ['apps/cli/src/good.ts', `import '@veligrid/imaging';\nimport '@veligrid/hatchery';`],
  ['apps/web/src/good.ts', `import type { here } from '@veligrid/api';`],
  ['tests/imaging/good.test.ts', `import '../../packages/model/src/inner.js';\nimport '../../apps/cli/src/index.js';`],
];

let tree = '';
let result: ICruiseResult;

function write(path: string, text: string): void {
  mkdirSync(dirname(join(tree, path)), { recursive: true });
  writeFileSync(join(tree, path), text);
}

function plantPackage(folder: string, name: string): void {
  write(`${folder}/src/index.ts`, 'export const here = 1;\n');
  const manifest = {
    name,
    version: '0.1.0',
    type: 'module',
    exports: { '.': { source: './src/index.ts', default: './dist/index.js' } },
    dependencies: Object.fromEntries(
      [...libraries, ...rooms.map((room) => `@veligrid/${room}`)].map((to) => [to, '1']),
    ),
    devDependencies: { vitest: '1' },
  };
  write(`${folder}/package.json`, JSON.stringify(manifest));
}

beforeAll(async () => {
  tree = mkdtempSync(join(tmpdir(), 'veligrid-rules-'));
  write('package.json', JSON.stringify({ name: 'planted', private: true }));
  for (const room of rooms) {
    plantPackage(`packages/${room}`, `@veligrid/${room}`);
    mkdirSync(join(tree, 'node_modules/@veligrid'), { recursive: true });
    symlinkSync(join(tree, 'packages', room), join(tree, 'node_modules/@veligrid', room), 'dir');
  }
  for (const app of apps) plantPackage(`apps/${app}`, `@veligrid/${app}`);
  // Entered through dist, as sharp is: an exclude of every dist folder would hide it.
  for (const library of [...libraries, 'vitest']) {
    write(
      `node_modules/${library}/package.json`,
      JSON.stringify({ name: library, version: '1.0.0', main: 'dist/index.js' }),
    );
    write(`node_modules/${library}/dist/index.js`, '');
  }
  write('apps/server/src/inner.ts', 'export type Inner = 1;\n');
  write('packages/model/src/inner.ts', 'export type Inner = 1;\n');
  write('packages/imaging/src/round-b.ts', "import './round-a.js';\n");
  for (const [file, statement] of [...planted, ...allowed]) write(file, `${statement}\n`);

  const { output } = await cruise(['packages', 'apps', 'tests'], {
    ...options,
    baseDir: tree,
    validate: true,
    ruleSet: { forbidden } as NonNullable<Parameters<typeof cruise>[1]>['ruleSet'] & object,
  });
  result = output as ICruiseResult;
});

afterAll(() => {
  rmSync(tree, { recursive: true, force: true });
});

const refusals = (file: string): string[] =>
  result.summary.violations.filter(({ from }) => from === file).map(({ rule }) => rule.name);

describe('import rules', () => {
  it.each(planted)('in %s refuse %s by %s', (file, _, rule) => {
    expect(refusals(file)).toContain(rule);
  });

  it.each(allowed)('in %s let %s pass', (file) => {
    expect(result.modules.map(({ source }) => source)).toContain(file);
    expect(refusals(file)).toEqual([]);
  });

  it('are each seen to refuse something', () => {
    expect(new Set(planted.map(([, , rule]) => rule))).toEqual(new Set(forbidden.map(({ name }) => name)));
  });
});
