import { openStore } from '@veligrid/storage';
import { setOwnFigure } from '@veligrid/season';
import { describe, expect, it } from 'vitest';
import { newBench, veligrid } from '../season/bench.js';
import { ask, isAnswer } from './support.js';

const STOCKING = {
  kind: 'stocking',
  stage: 'umbo',
  tanks: [{ name: '1-1', volumeMl: 2e6, larvae: { estimate: 9e6, low: 8e6, high: 1e7 } }],
};
const TALLY = ['--container-ml', '1000', '--counts', '121;117;128', '--volume-ml', '0.5', '--stage', 'umbo'];

/** A hatchery with a tank and a count by eye in it. */
async function counted(): Promise<ReturnType<typeof newBench>> {
  const bench = newBench();
  await bench.record('batch', 'add', 'A', '--spawned', '2026-05-04T09:00Z').catch(() => undefined);
  await bench.record('tank', 'add', '1-1', '--volume-l', '2000');
  await bench.record('sample', 'tally', '1-1', '--sample', 'A day 8', ...TALLY);
  return bench;
}

async function storeOf<T>(
  data: string,
  work: (store: Awaited<ReturnType<typeof openStore>>) => Promise<T>,
): Promise<T> {
  const store = await openStore(data);
  try {
    return await work(store);
  } finally {
    await store.close();
  }
}

describe('veligrid plan --save', () => {
  it('keeps question, answer, figures, the count it rests on, who and why', async () => {
    const { data } = await counted();
    const said = await ask(
      STOCKING,
      '--save',
      '--data',
      data,
      '--by',
      'Ada',
      '--sample',
      'A day 8',
      '--why',
      'too many',
    );
    expect([said.code, said.err]).toEqual([0, expect.stringMatching(/^Kept: stocking plan \(.+\)\n$/)]);
    expect(isAnswer(JSON.parse(said.out))).toBe(true);
    await storeOf(data, async (store) => {
      const [plan, ...others] = await store.plans.list();
      const [sample] = await store.samples.list();
      const [signOff] = await store.signOffs.ofSample(sample?.id ?? '');
      expect(others).toEqual([]);
      expect(plan).toMatchObject({
        kind: 'stocking',
        by: 'Ada',
        why: 'too many',
        sampleId: sample?.id,
        tankId: sample?.tankId,
        signOffId: signOff?.id,
        question: STOCKING,
        figures: 'common 1, eastern-oyster 1',
        ownFiguresId: null,
        changedFigures: [],
      });
      expect(plan?.answer).toEqual(JSON.parse(said.out));
      expect(await store.check()).toEqual([]);
    });
  });

  it("takes the hatchery's own figures, and names them", async () => {
    const { data } = await counted();
    // 2,000 L at 3 larvae a mL hold six million
    const figure = { species: 'eastern-oyster', name: 'stocking.umbo.per-ml', value: 3, why: 'our season 2026' };
    await storeOf(data, (store) => setOwnFigure(store, 'Ada', { ...figure, changes: 0 }));
    const { out } = await ask(STOCKING, '--data', data);
    const answer = JSON.parse(out) as { tanks: { holds: number }[]; figures: { name: string; source: string }[] };
    expect(answer.tanks[0]?.holds).toBe(6e6);
    expect(answer.figures.find(({ name }) => name === figure.name)).toMatchObject({
      value: 3,
      source: 'our season 2026',
      confidence: 'own',
      preset: 'own figures',
      version: '1',
    });
    await ask(STOCKING, '--save', '--data', data, '--by', 'Ada');
    await storeOf(data, async (store) => {
      const [plan] = await store.plans.list();
      const own = await store.rules.latest('species-preset', 'figures:eastern-oyster');
      expect(plan).toMatchObject({ figures: 'common 1, eastern-oyster 1, own figures 1', ownFiguresId: own?.id });
    });
    expect((JSON.parse((await ask(STOCKING)).out) as typeof answer).tanks[0]?.holds).toBe(8e6);
  });

  it('says what is missing, and keeps nothing then', async () => {
    const { data } = await counted();
    const cases: [flags: string[], message: string][] = [
      [['--save'], '--save needs --data'],
      [['--save', '--data', data], '--save needs --by'],
      [['--save', '--data', data, '--by', 'Ada', '--figures', 'x.json'], 'put those of your file there first'],
      [['--save', '--data', data, '--by', 'Ada', '--sample', 'B'], 'There is no sample "B"'],
    ];
    for (const [flags, message] of cases) {
      const { code, err } = await ask(STOCKING, ...flags);
      expect([code, err]).toEqual([2, expect.stringContaining(message)]);
    }
    expect(await storeOf(data, (store) => store.plans.list())).toEqual([]);
  });

  it('stands in the history of its batch', async () => {
    const { data } = await counted();
    await veligrid('batch', 'add', 'Z', '--data', data, '--by', 'Ada');
    const { err } = await ask(STOCKING, '--save', '--data', data, '--by', 'Ada', '--batch', 'Z', '--why', 'for room');
    expect(err).toContain('Kept');
    const { out } = await veligrid('history', 'Z', '--data', data);
    expect(out).toMatch(/plan kept.*stocking, for room/);
  });
});
