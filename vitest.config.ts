import { defineConfig } from 'vitest/config';

const conditions = ['source'];

export default defineConfig({
  resolve: { conditions },
  ssr: { resolve: { conditions } },
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    maxWorkers: 2,
    coverage: { include: ['packages/*/src/**', 'apps/*/src/**'], reporter: ['text-summary', 'html'] },
  },
});
