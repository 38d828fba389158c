import type { z } from 'zod';
import { dayRoutes } from './routes-day.js';
import { accessRoutes } from './routes-access.js';
import { entryRoutes } from './routes-entries.js';
import { keepingRoutes } from './routes-keeping.js';
import { photoRoutes } from './routes-photos.js';
import { peopleRoutes } from './routes-people.js';
import { seasonRoutes } from './routes-season.js';
import { sampleRoutes } from './routes-samples.js';
import { planRoutes } from './routes-plans.js';
import { spawnRoutes } from './routes-spawns.js';
import { toolRoutes } from './routes-tools.js';

/** Where all routes begin. */
export const BASE = '/api/v1';

/** Every operation of the interface by name. */
export const routes = {
  ...peopleRoutes,
  ...sampleRoutes,
  ...photoRoutes,
  ...toolRoutes,
  ...entryRoutes,
  ...dayRoutes,
  ...keepingRoutes,
  ...accessRoutes,
  ...spawnRoutes,
  ...seasonRoutes,
  ...planRoutes,
} as const;

export type Routes = typeof routes;
export type RouteName = keyof Routes;

/** What an operation takes as JSON; `never` when it takes none. */
export type BodyOf<Name extends RouteName> = Routes[Name] extends { readonly body: infer Body extends z.ZodType }
  ? z.input<Body>
  : never;

/** What an operation takes behind the question mark; `never` when it takes nothing. */
export type QueryOf<Name extends RouteName> = Routes[Name] extends { readonly query: infer Query extends z.ZodType }
  ? z.input<Query>
  : never;

/** What an operation answers as JSON, or what one of its events holds; `never` when it answers something else. */
export type AnswerOf<Name extends RouteName> = Routes[Name] extends { readonly answer: infer Answer extends z.ZodType }
  ? z.output<Answer>
  : never;
