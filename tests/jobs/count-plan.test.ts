import { planCount } from '@veligrid/jobs';
import { openStore } from '@veligrid/storage';
import { expect, it } from 'vitest';
import { photographed, SAID } from '../storage/examples.js';
import { newFolder } from '../storage/new-folder.js';

it('the field that a photo shows goes from its job into its count', async () => {
  const store = await openStore(newFolder());
  const { fillingId } = await photographed(store);
  const { sha256 } = await store.files.put(Buffer.from('a picture'));
  const fields = { fillingId, sha256, page: 1, name: '1.jpg', calibrationId: null };
  const { id } = await store.photos.add({ ...fields, widthPx: null, heightPx: null, takenAt: null }, SAID);
  expect((await planCount(store, id, { drawnField: 'Q7' })).task.options.drawnField).toBe('Q7');
  expect((await planCount(store, id)).task.options).not.toHaveProperty('drawnField');
  await expect(planCount(store, 'none')).rejects.toThrow('Expected the photo to count to be one that is kept');
  await store.close();
});
