import { readFile, writeFile } from 'node:fs/promises';
import { cutPyramid, inspectPhoto, previewPicture, setDecodeThreads } from '@veligrid/imaging/pictures';
import { VeligridError } from '@veligrid/model';
import { answerTasks } from './answer-tasks.js';
import type { PictureAnswer, PictureTask } from './picture-task.js';

setDecodeThreads(1);

async function done(task: PictureTask): Promise<PictureAnswer> {
  const bytes = await readFile(task.path);
  switch (task.act) {
    case 'inspect':
      return { kind: 'pages', pages: await inspectPhoto(bytes, { name: task.name, maxPixels: task.maxPixels }) };
    case 'preview':
      await writeFile(task.to, await previewPicture(bytes, task.page));
      return { kind: 'made' };
    case 'pyramid':
      await cutPyramid(bytes, task.page, task.folder);
      return { kind: 'made' };
  }
}

answerTasks(async (task): Promise<PictureAnswer> => {
  try {
    return await done(task as PictureTask);
  } catch (error) {
    if (error instanceof VeligridError) return { kind: 'refused', reason: error.message };
    throw error;
  }
});
