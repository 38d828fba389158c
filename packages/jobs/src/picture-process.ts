import { readFile, writeFile } from 'node:fs/promises';
import { cutPyramid, inspectPhoto, previewPicture, setDecodeThreads } from '@veligrid/imaging';
import { VeligridError } from '@veligrid/model';
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

async function answerTo(task: PictureTask): Promise<PictureAnswer> {
  try {
    return await done(task);
  } catch (error) {
    if (error instanceof VeligridError) return { kind: 'refused', reason: error.message };
    return { kind: 'failed', reason: error instanceof Error ? (error.stack ?? error.message) : String(error) };
  }
}

// a process of its own reads what people send: it may die of it alone
process.on('message', (task: PictureTask) => {
  void answerTo(task).then((answer) => process.send?.(answer));
});
// the server is gone
process.on('disconnect', () => process.exit(0));
