import type { FigureList, PlanHead, TriedPlan } from '@veligrid/api';
import { figuresView, keepPlan, setOwnFigure, tryPlan, type PlanAsked } from '@veligrid/season';
import type { Call, Handlers } from '../http/call.js';
import { notThere } from '../http/problem-error.js';
import { findSample } from '../samples/read-sample.js';
import { atDesk } from './entry-handlers.js';
import { planHeads, wholePlan } from './plan-answers.js';

const askedOf = ({ question, changed }: Call<'tryPlan'>['body']): PlanAsked =>
  changed === undefined ? { question } : { question, changed };

/** As it is sent: without what is undefined, and with lists that may be written to. */
const plain = (value: unknown): unknown => JSON.parse(JSON.stringify(value));

async function keep({ house, body, by }: Call<'keepPlan'>): Promise<PlanHead> {
  const { sample = null, signOff, batch, tank, why } = body;
  if (sample !== null) await findSample(house, sample);
  return atDesk(house, by, async ({ parts }) => {
    const entry = await keepPlan(parts, {
      ...askedOf(body),
      sampleId: sample,
      batchId: batch ?? null,
      tankId: tank ?? null,
      by,
      program: house.version,
      ...(signOff === undefined ? {} : { signOffId: signOff }),
      ...(why === undefined ? {} : { why }),
    });
    const [head] = await planHeads(parts, [entry]);
    if (head === undefined) throw new Error(`The plan ${entry.id} was not kept`);
    return head;
  });
}

async function list({ house, query }: Call<'getPlans'>): Promise<{ plans: PlanHead[] }> {
  const { sample, batch, tank } = query;
  const entries = await house.store.plans.list({
    ...(sample === undefined ? {} : { sampleId: sample }),
    ...(batch === undefined ? {} : { batchId: batch }),
    ...(tank === undefined ? {} : { tankId: tank }),
  });
  return { plans: await planHeads(house.store, entries) };
}

export const planHandlers: Handlers<'tryPlan' | 'keepPlan' | 'getPlans' | 'getPlan' | 'getFigures' | 'setFigure'> = {
  tryPlan: async ({ house, body }) => plain(await tryPlan(house.store, askedOf(body))) as TriedPlan,
  keepPlan: keep,
  getPlans: list,
  getPlan: async ({ house, params }) => {
    const entry = await house.store.plans.get(params['plan'] ?? '');
    if (entry === null) throw notThere('plan');
    return wholePlan(house.store, entry);
  },
  getFigures: async ({ house, params }) => {
    const species = params['species'] ?? '';
    return plain({ species, figures: await figuresView(house.store, species) }) as FigureList;
  },
  setFigure: ({ house, params, body, by }) =>
    atDesk(house, by, async ({ parts }) => {
      const [species, name] = [params['species'] ?? '', params['figure'] ?? ''];
      await setOwnFigure(parts, by, { species, name, ...body });
      return {};
    }),
};
