import { z } from 'zod';
import { conflict, decision } from './decisions.js';

/** Kinds of problem; the `type` of a problem is `/problems/` with one of them. */
export const problemKind = z.enum([
  'bad-request',
  'not-signed-in',
  'not-allowed',
  'cross-site',
  'not-found',
  'conflict',
  'changed-since',
  'refused',
  'not-signed-off',
  'too-large',
  'unreadable-photo',
  'too-many-tries',
  'needs-if-match',
  'server-fault',
]);

/** RFC 9457 problem details. */
export const problem = z.object({
  type: z.string(),
  title: z.string(),
  status: z.number().int(),
  /** One sentence that says what to do. */
  detail: z.string(),
  kind: problemKind,
  /** Which sentence `detail` is, where clients say it in their own language, and what stands in it. */
  code: z.string().optional(),
  data: z.record(z.string(), z.union([z.string(), z.number()])).optional(),
  /** Fields of the request that are wrong. */
  fields: z.array(z.object({ field: z.string(), message: z.string() })).optional(),
  /** With `conflict` of decisions: number of decisions now, what is newer than the sender knew, and what clashes. Nothing was stored. */
  order: z.number().int().optional(),
  newer: z.array(decision).optional(),
  conflicts: z.array(conflict).optional(),
  /** With `changed-since`: what is stored now. */
  current: z.unknown().optional(),
  /** With `too-many-tries`: seconds to wait. */
  retryAfter: z.number().optional(),
});
