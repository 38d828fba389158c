import type { AnswerOf, BodyOf, Problem, QueryOf, RouteName, Routes } from '@veligrid/api';
import { takeEarly } from './early.js';

/** Where all routes begin. */
const BASE = '/api/v1';

/** The server said no, and why. */
export class Refusal extends Error {
  override readonly name = 'Refusal';
  readonly problem: Problem;

  constructor(problem: Problem) {
    super(problem.detail);
    this.problem = problem;
  }
}

/** The server can't be reached: nothing is wrong with what was asked. */
export class Unreachable extends Error {
  override readonly name = 'Unreachable';
}

/** What goes with a request. */
export interface Asked<Name extends RouteName> {
  /** Values of the path's `{name}` parts. */
  readonly at?: Readonly<Record<string, string>>;
  readonly query?: QueryOf<Name>;
  readonly body?: BodyOf<Name>;
  /** Text and files of a form, for routes that take files. */
  readonly form?: FormData;
  /** ETag of what is changed. */
  readonly ifMatch?: string;
}

/** An address below the base with its `{name}` parts filled in. */
export function addressOf(path: string, at: Readonly<Record<string, string>> = {}): string {
  return BASE + path.replace(/\{(\w+)\}/g, (_, name: string) => encodeURIComponent(at[name] ?? ''));
}

function queryOf(query: unknown): string {
  const entries = Object.entries(query ?? {}).filter(([, value]) => value !== undefined);
  return entries.length === 0 ? '' : `?${new URLSearchParams(entries.map(([k, v]) => [k, String(v)])).toString()}`;
}

/** Turns an answer that is not a success into a refusal, also when it carries no problem details. */
async function refusalOf(response: Response): Promise<Refusal> {
  const text = await response.text();
  try {
    return new Refusal(JSON.parse(text) as Problem);
  } catch {
    const detail = text.slice(0, 200) || response.statusText;
    return new Refusal({ type: 'about:blank', title: detail, detail, status: response.status, kind: 'server-fault' });
  }
}

/** Answers of a proxy when the server behind it is away. */
const AWAY = [502, 503, 504];

/**
 * Asks the server. Method and path are checked against the table of routes when this is compiled.
 *
 * @throws Refusal when the server says no; Unreachable when it does not answer
 */
export async function ask<Name extends RouteName>(
  method: Routes[Name]['method'],
  path: Routes[Name]['path'],
  { at, query, body, form, ifMatch }: Asked<Name> = {},
): Promise<AnswerOf<Name>> {
  const headers = new Headers({ accept: 'application/json' });
  if (body !== undefined) headers.set('content-type', 'application/json');
  if (ifMatch !== undefined) headers.set('if-match', ifMatch);
  const sent = body === undefined ? form : JSON.stringify(body);
  const request: RequestInit = { method: method.toUpperCase(), headers };
  if (sent !== undefined) request.body = sent;
  const address = addressOf(path, at) + queryOf(query);
  const early = method === 'get' ? takeEarly(address) : undefined;
  const response = await (early ?? fetch(address, request)).catch((error: unknown) => {
    throw new Unreachable('The server does not answer', { cause: error });
  });
  if (AWAY.includes(response.status)) throw new Unreachable('The server does not answer');
  if (!response.ok) throw await refusalOf(response);
  return (await response.json()) as AnswerOf<Name>;
}
