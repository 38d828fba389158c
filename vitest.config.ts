import { defineConfig } from 'vitest/config';

const conditions = ['source'];

/** Folders of tests that look at the memory, the priority or the children of their process: each file has one of its own. */
const ALONE = ['fuzz', 'jobs', 'viewer'].map((folder) => `tests/${folder}/**/*.test.ts`);

export default defineConfig({
  resolve: { conditions },
  ssr: { resolve: { conditions } },
  test: {
    globalSetup: 'tests/support/temporary-folder.ts',
    testTimeout: 60_000,
    hookTimeout: 180_000,
    maxWorkers: 2,
    coverage: { include: ['packages/*/src/**', 'apps/*/src/**'], reporter: ['text-summary', 'html'] },
    projects: [
      {
        extends: true,
        // reading the source anew for each file would take as long as the tests
        test: { name: 'plain', include: ['tests/**/*.test.ts'], exclude: ALONE, isolate: false },
      },
      { extends: true, test: { name: 'alone', include: ALONE } },
    ],
  },
});
