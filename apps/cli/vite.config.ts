import { relative, sep } from 'node:path';
import { defineConfig, type Plugin } from 'vite';

/** Beside the place where tools/build-program.mjs puts it, and as deep. */
const OUT = `${import.meta.dirname}/dist/bundled-new`;

/** Modules that look for files beside themselves go on looking there. */
const ownPlaces: Plugin = {
  name: 'own-places',
  enforce: 'pre',
  transform(code, id) {
    // what begins with a zero is the bundler's own
    if (id.startsWith('\0') || !code.includes('import.meta.url')) return null;
    const place = relative(OUT, id).split(sep).map(encodeURIComponent).join('/');
    const itself = `new URL(${JSON.stringify(place)}, import.meta.url).href`;
    return { code: code.replaceAll('import.meta.url', itself), map: null };
  },
};

/**
 * The program in few files, made of its compiled modules and the libraries that are JavaScript: to read a thousand modules
 * one by one takes a server a second of its start, and the thread that counts a third of a second. Libraries that bring
 * machine code (but for sharp, which looks for its own from its own place) or are seldom needed stay outside: they are found
 * because npm puts them into the node_modules of the whole project.
 */
export default defineConfig({
  root: import.meta.dirname,
  plugins: [ownPlaces],
  ssr: {
    noExternal: true,
    external: [
      '@aws-sdk/client-s3',
      'geotiff',
      'heic-decode',
      'libsql',
      'onnxruntime-node',
      'onnxruntime-web',
      'opencv-wasm',
      'pg',
    ],
  },
  build: {
    ssr: true,
    outDir: OUT,
    emptyOutDir: true,
    target: 'node20',
    rolldownOptions: {
      input: { run: 'dist/run.js', 'count-worker': 'dist/count/count-worker.js' },
      output: { chunkFileNames: '[name]-[hash].js' },
    },
  },
});
