import { defineConfig } from 'vite';

/** The client as files that the server hands out: no inline script or style, no address outside its own server. */
export default defineConfig({
  root: import.meta.dirname,
  base: '/',
  resolve: { conditions: ['source', 'module', 'browser', 'production'] },
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  worker: { format: 'es' },
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
});
