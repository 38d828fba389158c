/** Pictures to look at, for processes that count nothing. */
export { setDecodeThreads } from './photo/decode-sharp.js';
export { inspectPhoto } from './photo/inspect-photo.js';
export { cutPyramid, previewPicture } from './photo/show-picture.js';
