/**
 * Which room may import which, and which folder alone may touch a library. `tests/tooling/import-rules.test.ts` plants
 * a violation of each rule and sees it refused.
 */

/** Rooms and apps with the packages each may import besides itself. Those not built yet are named already. */
const MAY_IMPORT = {
  'packages/model': [],
  'packages/imaging': ['model'],
  'packages/review': ['model'],
  'packages/estimation': ['model'],
  'packages/hatchery': ['model', 'estimation'],
  'packages/api': ['model'],
  'packages/storage': ['model'],
  'packages/season': ['model', 'imaging', 'estimation', 'hatchery', 'storage'],
  'packages/jobs': ['model', 'imaging', 'storage'],
  'apps/web': ['model', 'review', 'api'],
  'apps/server': ['model', 'imaging', 'review', 'estimation', 'hatchery', 'storage', 'season', 'jobs', 'api'],
  'apps/cli': ['model', 'imaging', 'review', 'estimation', 'hatchery', 'storage', 'season', 'jobs'],
};

/** Libraries with the only folder that may import them. */
const ONE_DOOR = {
  sharp: 'packages/imaging/src/photo',
  'fast-bmp': 'packages/imaging/src/photo',
  geotiff: 'packages/imaging/src/photo',
  'heic-decode': 'packages/imaging/src/photo',
  'opencv-wasm': 'packages/imaging/src/cv',
  'onnxruntime-[a-z]+': 'packages/imaging/src/find',
  express: 'apps/server/src',
  kysely: 'packages/storage/src',
  libsql: 'packages/storage/src',
  pg: 'packages/storage/src/dialect',
  '@aws-sdk/client-s3': 'packages/storage/src/files',
};

/** Entries beside the index, for those who must not load a whole package; each is named in `exports` of its package.json. */
const ENTRIES = '^packages/imaging/src/(count|pictures|stage-files)\\.ts$';

/** Rooms whose results may depend on nothing but their arguments: no Node, so no clock, disk or process. */
const WITHOUT_NODE = '^(packages/(model|review|estimation|hatchery|api)|apps/web)/src/';

/**
 * The one app that another may import, by its index: `veligrid` is one program, and `serve` is its command that starts the
 * server in the same process. The server knows nothing of the command line.
 */
const APPS_IMPORTED = { 'apps/cli': ['server'] };

const either = (names) => (names.length > 0 ? `(${names.join('|')})` : '(?!)');

const directions = Object.entries(MAY_IMPORT).map(([room, packages]) => ({
  name: `direction-${room.replace('/', '-')}`,
  comment: `${room} may import ${packages.length > 0 ? packages.join(', ') : 'no other room'}`,
  severity: 'error',
  from: { path: `^${room}/src/` },
  to: {
    path: '^(packages|apps|tests|tools)/',
    pathNot: [`^${room}/`, `^packages/${either(packages)}/`, `^apps/${either(APPS_IMPORTED[room] ?? [])}/`],
  },
}));

const doors = Object.entries(ONE_DOOR).map(([library, folder]) => ({
  name: `one-door-${library.replace(/-\[.*/, '')}`,
  comment: `only ${folder} may import it; tests and tools may, to make pictures and compare`,
  severity: 'error',
  from: { path: '^(packages|apps)/[^/]+/src/', pathNot: `^${folder}/` },
  to: { path: `(^|/)node_modules/${library}/|^${library}$` },
}));

module.exports = {
  forbidden: [
    {
      name: 'no-circles',
      severity: 'error',
      from: {},
      to: { circular: true },
    },
    {
      name: 'enter-by-index',
      comment: 'another package is entered by its index, or by one of its other entries',
      severity: 'error',
      from: { path: '^(packages|apps)/([^/]+)/src/' },
      to: {
        path: '^(packages|apps)/[^/]+/',
        pathNot: ['^$1/$2/', '^(packages|apps)/[^/]+/src/index\\.ts$', ENTRIES],
      },
    },
    {
      name: 'model-touches-nothing',
      severity: 'error',
      from: { path: '^packages/model/src/' },
      to: { pathNot: '^packages/model/src/' },
    },
    {
      name: 'no-node',
      severity: 'error',
      from: { path: WITHOUT_NODE },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'no-development-packages',
      comment: 'what ships may not need a development dependency',
      severity: 'error',
      from: { path: '^(packages|apps)/[^/]+/src/' },
      to: { dependencyTypes: ['npm-dev'], dependencyTypesNot: ['npm', 'npm-peer', 'npm-optional'] },
    },
    {
      name: 'resolvable',
      comment: 'heic-decode is an optional peer and may be missing',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true, pathNot: '^heic-decode$' },
    },
    {
      name: 'api-types-only-in-web',
      comment: 'the schemas would bring the checker into the bundle; types weigh nothing',
      severity: 'error',
      from: { path: '^apps/web/src/' },
      to: { path: '^packages/api/', dependencyTypesNot: ['type-only'] },
    },
    ...directions,
    ...doors,
  ],
  options: {
    // Anchored: a bare /dist/ would also hide node_modules/sharp/dist, and its door rule would pass in silence.
    exclude: { path: '^((packages|apps)/[^/]+/dist|coverage)/' },
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    detectProcessBuiltinModuleCalls: true,
    enhancedResolveOptions: {
      conditionNames: ['source', 'import', 'require', 'node', 'default', 'types'],
      exportsFields: ['exports'],
      extensions: ['.ts', '.tsx', '.mjs', '.js', '.cjs', '.json'],
    },
    moduleSystems: ['es6', 'cjs'],
  },
};
