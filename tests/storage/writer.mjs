import { readFileSync, writeSync } from 'node:fs';
import { openStore } from '@veligrid/storage';

// Writes into a store without end and says each thing that was acknowledged in a line of JSON. Run by the tests from the
// built code, in a process of its own that can be killed: node writer.mjs FOLDER COUNT.json [rounds]. With 0 rounds it
// only opens the store.
const [, , folder = '', template = '', rounds = 'Infinity'] = process.argv;
const by = { by: 'Ada' };

/** @param {unknown} what */
const say = (what) => writeSync(1, `${JSON.stringify(what)}\n`);

const store = await openStore(folder);
say('open');

/**
 * @param {import('@veligrid/storage').Parts} parts
 * @param {string} sha256
 */
async function addPhoto(parts, sha256) {
  const nothing = { note: '', active: true, batchId: null, tankId: null, containerVolumeMl: null };
  const { id: sampleId } = await parts.samples.add(
    {
      ...nothing,
      name: 'day 4',
      takenAt: '2026-06-03T09:30:00.000Z',
      species: 'eastern-oyster',
      notes: { kind: 'live' },
      containerVolumeStandardUncertaintyMl: null,
      counting: {},
    },
    by,
  );
  const filling = { sampleId, number: 1, volumeMl: 1, volumeStandardUncertaintyMl: null, steps: [], note: '' };
  const { id: fillingId } = await parts.fillings.add(filling, by);
  const size = { widthPx: null, heightPx: null, takenAt: null, calibrationId: null };
  const { id: photoId } = await parts.photos.add({ fillingId, sha256, page: 1, name: '1.jpg', ...size }, by);
  return { sampleId, photoId };
}

/** @param {number} round */
async function write(round) {
  const { sha256 } = await store.files.put(Buffer.from(`picture ${process.pid} ${round}`.repeat(500)));
  const { sampleId, photoId } = await store.together((parts) => addPhoto(parts, sha256));
  /** @type {import('@veligrid/model').PhotoCount} */
  const count = JSON.parse(readFileSync(template, 'utf8'));
  const detections = count.detections.slice(0, 1 + (round % 40));
  const kept = await store.detections.add(
    { photoId, count: { ...count, photo: photoId, detections } },
    { by: 'count' },
  );
  /** @type {string[]} */
  const decisions = [];
  say({ round, sampleId, photoId, sha256, detections: kept.id, decisions });
  for (let i = 0; i < 3; i += 1) {
    const id = `${sampleId} ${i}`;
    const decision = { id, photoId, kind: 'relabel', at: '2026-06-03T11:00:00Z', payload: { id }, ...by };
    await store.decisions.append(sampleId, i, [decision]);
    decisions.push(id);
    say({ round, sampleId, photoId, sha256, detections: kept.id, decisions });
  }
}

try {
  for (let round = 0; round < Number(rounds); round += 1) await write(round);
} catch (error) {
  say({ error: String(error) });
}
await store.close();
