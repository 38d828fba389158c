import { countPhoto, readPhoto, setDecodeThreads } from '@veligrid/imaging/count';
import { answerJobs } from './answer-jobs.js';
import { countFile } from './count-file.js';

/** What only overlays and photos of one filling need. */
const rest = () => import('@veligrid/imaging');

// the photos share the cores, not the decoders
setDecodeThreads(1);
answerJobs((job) =>
  countFile(job, {
    countPhoto,
    readPhoto,
    photoView: async (raster, umPerPx) => (await rest()).photoView(raster, umPerPx),
    renderOverlay: async (raster, count) => (await rest()).renderOverlay(raster, count),
  }),
);
