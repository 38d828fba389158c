import { empty } from './parts.js';
import {
  afterCount,
  figureList,
  figureToSet,
  plan,
  planChoice,
  planHead,
  planList,
  planToKeep,
  planToTry,
  triedPlan,
} from './plans.js';
import type { Route } from './route.js';

/** Routes of plans and of the figures they are worked out with. */
export const planRoutes = {
  getAfterCount: {
    method: 'get',
    path: '/samples/{sample}/after',
    role: 'viewer',
    summary: 'What a signed-off count changes since the one before, and the plans that it allows, filled in',
    answer: afterCount,
  },
  tryPlan: {
    method: 'post',
    path: '/plans/try',
    role: 'viewer',
    summary: 'Work a plan out; nothing is kept',
    body: planToTry,
    answer: triedPlan,
  },
  keepPlan: {
    method: 'post',
    path: '/plans',
    role: 'counter',
    summary: 'Work a plan out and keep it with who and when',
    body: planToKeep,
    status: 201,
    answer: planHead,
  },
  getPlans: {
    method: 'get',
    path: '/plans',
    role: 'viewer',
    summary: 'Kept plans: all, or those of a sample, batch or tank, oldest first',
    query: planChoice,
    answer: planList,
  },
  getPlan: {
    method: 'get',
    path: '/plans/{plan}',
    role: 'viewer',
    summary: 'A kept plan with question, answer and figures',
    answer: plan,
  },
  getFigures: {
    method: 'get',
    path: '/figures/{species}',
    role: 'viewer',
    summary: 'Every figure that plans are worked out with: value, unit, source, shipped or own, with its changes',
    answer: figureList,
  },
  setFigure: {
    method: 'put',
    path: '/figures/{species}/{figure}',
    role: 'manager',
    summary: "Set one of the hatchery's own figures with a reason, or go back to the shipped one",
    body: figureToSet,
    answer: empty,
  },
} as const satisfies Record<string, Route>;
