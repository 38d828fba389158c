import { configDefaults, defineConfig } from 'vitest/config';

const conditions = ['source'];

/** Run by `npm run long:keyboard`: a whole season by keys alone, which loses a key on a machine that is busy with other tests. */
const LONG = ['tests/viewer/season-by-keyboard.test.ts'];
const isLong = process.env['VELIGRID_LONG'] === '1';

export default defineConfig({
  resolve: { conditions },
  ssr: { resolve: { conditions } },
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: [...configDefaults.exclude, ...(isLong ? [] : LONG)],
    testTimeout: 60_000,
    hookTimeout: 180_000,
    maxWorkers: 2,
    coverage: { include: ['packages/*/src/**', 'apps/*/src/**'], reporter: ['text-summary', 'html'] },
  },
});
