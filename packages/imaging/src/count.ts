/** Counting alone, for threads and processes that do nothing else: half of the machinery, so they are ready sooner. */
export { countPhoto, type CountOptions } from './count-photo.js';
export { setDecodeThreads } from './photo/decode-sharp.js';
export { readPhoto, type Page, type ReadPhotoOptions } from './photo/read-photo.js';
