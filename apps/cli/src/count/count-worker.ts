import { countPhoto, photoView, readPhoto, renderOverlay, setDecodeThreads } from '@veligrid/imaging';
import { answerJobs } from './answer-jobs.js';
import { countFile } from './count-file.js';

// the photos share the cores, not the decoders
setDecodeThreads(1);
answerJobs((job) => countFile(job, { countPhoto, photoView, readPhoto, renderOverlay }));
