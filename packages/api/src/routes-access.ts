import { z } from 'zod';
import { accessToken, doorEvent, madeToken, newToken } from './access.js';
import type { Route } from './route.js';

/** Routes about who gets in without a person, and who came in. */
export const accessRoutes = {
  listTokens: {
    method: 'get',
    path: '/tokens',
    role: 'manager',
    summary: 'Access tokens of programs, without their secrets',
    answer: z.object({ tokens: z.array(accessToken) }),
  },
  addToken: {
    method: 'post',
    path: '/tokens',
    role: 'manager',
    summary: 'Make an access token for a program; its secret is told this once',
    body: newToken,
    status: 201,
    answer: madeToken,
  },
  endToken: {
    method: 'post',
    path: '/tokens/{token}/end',
    role: 'manager',
    summary: 'End an access token for good',
    answer: accessToken,
  },
  listDoorEvents: {
    method: 'get',
    path: '/door-events',
    role: 'manager',
    summary: 'Who came in, who was refused, and what changed at the door; the last 200, latest first',
    answer: z.object({ events: z.array(doorEvent) }),
  },
} as const satisfies Record<string, Route>;
