export type { CountInput, Subsample } from './count-input.js';
export { estimateCount, PRESET_UNCERTAINTY, type CountEstimate } from './estimate-count.js';
export { handLengths, handTally, lengthsOf, tallyOf, type SignedLengths, type Tally } from './tally.js';
