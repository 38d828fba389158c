import { json, type Express, type Request, type RequestHandler, type Response } from 'express';
import { BASE, routes, type Route, type RouteName, type RouteRole } from '@veligrid/api';
import { ROLES } from '@veligrid/storage';
import type { House } from '../house.js';
import type { Call, Handlers, Person, SentFile } from './call.js';
import { ProblemError } from './problem-error.js';
import { receiveFiles } from './uploads.js';

const MOST_JSON = '8mb';

const PEOPLE_ONLY = 'This takes the judgement of a person: a program with an access token may not do it.';

/** Whether a person may use routes of a role. */
const mayUse = (person: Person, role: RouteRole): boolean =>
  role === 'anyone' || (person.role !== null && ROLES.indexOf(person.role) >= ROLES.indexOf(role));

/** @throws ProblemError when the person may not, or has not said who is at the microscope */
function checkAllowed(person: Person, { role, peopleOnly = false }: Route): void {
  if (peopleOnly && person.isProgram) throw new ProblemError('not-allowed', PEOPLE_ONLY, { code: 'people-only' });
  if (role === 'anyone') return;
  if (person.role === null) throw new ProblemError('not-signed-in', 'Sign in first.', { code: 'sign-in-first' });
  if (!mayUse(person, role)) {
    throw new ProblemError('not-allowed', `This needs the role ${role}; you are ${person.role}. Ask a manager.`, {
      code: 'needs-role',
      data: { role, own: person.role },
    });
  }
  if (person.name === null && role !== 'viewer') {
    throw new ProblemError('not-signed-in', 'Say first who is at the microscope.', { code: 'say-who' });
  }
}

const allow =
  (route: Route): RequestHandler =>
  (_req, res, next) => {
    checkAllowed(personOf(res), route);
    next();
  };

/** Who asks, as `identify` found. */
const personOf = (res: Response): Person => res.locals['person'] as Person;

/** What a general handler takes; which one belongs to which route is checked where they are gathered. */
type AnyHandler = (call: Call<RouteName>) => Promise<unknown>;

function callOf(house: House, route: Route, req: Request, res: Response): Call<RouteName> {
  const person = personOf(res);
  const { body, query, parts } = route;
  const call = {
    house,
    person,
    by: person.name ?? '',
    params: req.params,
    body: body?.parse(req.body),
    query: query?.parse(req.query),
    parts: parts?.parse(req.body ?? {}),
    files: (res.locals['files'] as readonly SentFile[] | undefined) ?? [],
    req,
    res,
  };
  return call as unknown as Call<RouteName>;
}

/** @throws Error when an answer is not as published: a fault of ours, not of the request */
function checkAnswer({ path, answer }: Route, given: unknown): void {
  const checked = answer?.safeParse(given);
  if (checked?.success === false)
    throw new Error(`the answer of ${path} is not as published: ${checked.error.message}`);
}

function answering(house: House, route: Route, handler: AnyHandler): RequestHandler {
  return async (req, res) => {
    const answer = await handler(callOf(house, route, req, res));
    if (route.media !== undefined || res.headersSent) return;
    if (house.checkAnswers) checkAnswer(route, answer);
    if (route.role !== 'anyone' && res.get('Cache-Control') === undefined)
      res.set('Cache-Control', 'private, no-cache');
    res.status(route.status ?? 200).json(answer);
  };
}

const expressPath = (path: string): string => BASE + path.replaceAll(/\{(\w+)\}/g, ':$1');

/** Tells how long a route took to answer; streams of events end when somebody closes the page, so they are left out. */
function timed(path: string, answered: Mounted['answered']): RequestHandler {
  return (_req, res, next) => {
    const began = performance.now();
    res.once('finish', () => {
      if (res.get('Content-Type')?.startsWith('text/event-stream') !== true)
        answered(path, (performance.now() - began) / 1000);
    });
    next();
  };
}

/** What routes are mounted with. */
interface Mounted {
  readonly handlers: Handlers<RouteName>;
  /** Told of the seconds that each answer took. */
  readonly answered: (route: string, seconds: number) => void;
}

/** Adds every route of the table with who may use it, the check of what comes in, and its handler. */
export function mountRoutes(app: Express, house: House, { handlers, answered }: Mounted): void {
  for (const [name, route] of Object.entries<Route>(routes)) {
    const handler: AnyHandler = handlers[name as RouteName];
    const receive: RequestHandler =
      route.files === undefined ? json({ limit: MOST_JSON }) : receiveFiles(house, route.files);
    const timing = timed(route.path, answered);
    app[route.method](expressPath(route.path), timing, allow(route), receive, answering(house, route, handler));
  }
  app.use(BASE, () => {
    throw new ProblemError('not-found', `There is nothing at this address. ${BASE}/ lists what there is.`);
  });
}
