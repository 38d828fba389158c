import { countPhoto, setDecodeThreads } from '@veligrid/imaging/count';
import { answerCounts } from './answer-counts.js';
import { lowerPriority } from './lower-priority.js';

lowerPriority();
// the photos share the cores, not the decoders
setDecodeThreads(1);
// its finder stays warm from one photo to the next
answerCounts(countPhoto);
