import { relative, sep } from 'node:path';
import { defineConfig, type Plugin } from 'vite';

const OUT = `${import.meta.dirname}/dist/bundled`;

/** Modules that look for files beside themselves go on looking there. */
const ownPlaces: Plugin = {
  name: 'own-places',
  transform(code, id) {
    // what begins with a zero is the bundler's own
    if (id.startsWith('\0') || !code.includes('import.meta.url')) return null;
    const place = relative(OUT, id).split(sep).map(encodeURIComponent).join('/');
    const itself = `new URL(${JSON.stringify(place)}, import.meta.url).href`;
    return { code: code.replaceAll('import.meta.url', itself), map: null };
  },
};

/**
 * The worker thread of `veligrid count` in one file: reading its two hundred modules one by one would take each thread a
 * third of a second. Made of the compiled modules, with the libraries that are JavaScript.
 */
export default defineConfig({
  root: import.meta.dirname,
  plugins: [ownPlaces],
  ssr: {
    noExternal: true,
    external: ['geotiff', 'heic-decode', 'onnxruntime-node', 'onnxruntime-web', 'opencv-wasm'],
  },
  build: {
    ssr: 'dist/count/count-worker.js',
    outDir: OUT,
    emptyOutDir: true,
    target: 'node20',
    rolldownOptions: { output: { chunkFileNames: '[name].js' } },
  },
});
