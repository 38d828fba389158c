import { createHash } from 'node:crypto';
import { cpSync } from 'node:fs';
import type { PhotoCount } from '@veligrid/model';
import { openStore, type Store } from '@veligrid/storage';
import { countOf, found } from './count-example.js';
import { batch, decision, photographed, SAID } from './examples.js';
import { newFolder } from './new-folder.js';
import { planned } from './plan-contract.js';
import { moved, wholeSeason } from './season-examples.js';

/** Text that trips what reads tables carelessly: formulas, quotes, line ends, letters of everywhere. */
export const AWKWARD = ['=1+1', '+3', '-2', '@a', '007', '1e3', ' "x", y;\r\nz\t', 'Åsa 牡蠣 🦪', 'TRUE', 'null'];

/** A count with everything that may or may not be there. */
function awkwardCount(photoId: string): PhotoCount {
  const plain = countOf(photoId, 4);
  const more = [
    { ...found('a', 1), form: 'normal', sameAs: { photo: 'other', id: 'd1' } } as const,
    { ...found('b', 1e-7), lengthUm: null, heightUm: null, square: null, inclusionWeight: null } as const,
    { ...found('=c', -1.5), form: 'not-judged', flags: [], features: {} } as const,
  ];
  return { ...plain, detections: [...plain.detections, ...more] };
}

const sha256Of = (text: string): string => createHash('sha256').update(text).digest('hex');

/** Fills a store with something of everything. */
export async function fill(store: Store): Promise<void> {
  const who = await store.staff.add({ name: 'Ada', role: 'manager', passwordHash: 'scrypt$1', active: true }, SAID);
  await store.staff.add({ name: 'Ben', role: 'viewer', passwordHash: null, active: false }, SAID);
  await store.signIns.add({ tokenHash: 'a'.repeat(64), staffId: who.id, expiresAt: '2036-01-01T00:00:00.000Z' });
  for (const name of AWKWARD) {
    const token = { name, scope: 'look', tokenHash: sha256Of(name), expiresAt: null, active: true } as const;
    const { id: tokenId } = await store.tokens.add(token, SAID);
    await store.signInEvents.append({ what: 'token-made', staffId: null, tokenId }, SAID);
  }
  await store.signInEvents.append({ what: 'signed-in', staffId: who.id, tokenId: null }, { by: 'Ada' });
  const { id: microscopeId } = await store.microscopes.add({ name: 'left', note: '', active: true }, SAID);
  const calibration = { microscopeId, objective: '4x', umPerPx: 0.1 + 0.2, relativeStandardUncertainty: null };
  const dated = { widthPx: 4000, measuredOn: '', measuredAt: '2026-05-01T00:00:00.000Z' };
  await store.calibrations.append({ ...calibration, ...dated }, SAID);
  for (const name of AWKWARD) {
    const { id } = await store.batches.add({ ...batch, name, note: name }, SAID);
    await store.batches.change(id, 1, { spawnedAt: null }, { ...SAID, why: name });
    const volume = { volumeMl: 1234.5, volumeStandardUncertaintyMl: null };
    await store.tanks.add({ name, ...volume, note: '', active: true }, SAID);
  }
  const { sampleId, photoId } = await photographed(store);
  await store.detections.add({ photoId, count: countOf(photoId, 0) }, { by: 'count' });
  const counted = await store.detections.add({ photoId, count: awkwardCount(photoId) }, { by: 'count' });
  await store.decisions.append(sampleId, 0, [decision('a', photoId), decision('b', null)]);
  const signed = await store.signOffs.append(
    {
      sampleId,
      photoId: null,
      kind: 'signed',
      decisions: 2,
      detections: { [photoId]: counted.id },
      payload: { a: [] },
    },
    SAID,
  );
  const figures = { sampleId, signOffId: signed.id, kind: 'count', question: {}, answer: { total: 1 / 3 } };
  await store.estimates.append({ ...figures, program: '0.1.0' }, SAID);
  const taken = { sampleId, photoId: null, kind: 'taken-back', decisions: 2, detections: {}, payload: null } as const;
  await store.signOffs.append(taken, { ...SAID, why: 'wrong tank' });
  await store.rules.append({ kind: 'stage-rules', name: 'x', version: '1', content: { n: [1e21, -0.5] } }, SAID);
  for (const value of [null, 'text', 3, { a: true }]) await store.settings.set('key', value, SAID);
  for (const name of AWKWARD) {
    const season = await wholeSeason(store, name);
    const { id } = await store.moves.append(moved(season, { place: name, note: name, sampleId }), SAID);
    await store.moves.correct(id, 1, { number: 1 / 3, low: null, high: null }, { ...SAID, why: name });
    if (name === '007') await store.moves.withdraw(id, 2, SAID);
  }
  const own = await store.rules.append({ kind: 'species-preset', name: 'x', version: '1', content: {} }, SAID);
  const [first] = await store.batches.list();
  const resting = { sampleId, signOffId: signed.id, batchId: first?.id ?? null, ownFiguresId: own.id };
  for (const why of AWKWARD) await store.plans.append(planned({ ...resting, figures: why }), { ...SAID, why });
  await store.jobs.add([{ kind: 'count-photo', subject: photoId, payload: {} }]);
  await store.jobs.claim('here/1', ['count-photo'], 60_000);
}

let template: Promise<string> | null = null;

async function makeTemplate(): Promise<string> {
  const folder = newFolder();
  const store = await openStore(folder);
  await fill(store);
  await store.close();
  return folder;
}

/** The folder of a closed store with something of everything; a new copy each time. */
export async function fullStore(): Promise<string> {
  template ??= makeTemplate();
  const folder = newFolder();
  cpSync(await template, folder, { recursive: true });
  return folder;
}
