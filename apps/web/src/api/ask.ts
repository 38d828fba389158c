import type { AnswerOf, BodyOf, Problem, QueryOf, RouteName, Routes } from '@veligrid/api';
import { problemWords } from '../words/problem-words.js';
import { reach, type Reached } from './reach.js';

/** Where all routes begin. */
const BASE = '/api/v1';

/** The server said no, and why. */
export class Refusal extends Error {
  override readonly name = 'Refusal';
  readonly problem: Problem;

  constructor(problem: Problem) {
    super(problemWords(problem));
    this.problem = problem;
  }
}

/** Why something did not come about, in words. */
export const troubleWords = (error: unknown): string => (error instanceof Error ? error.message : String(error));

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
function refusalOf({ text, status, statusText }: Reached): Refusal {
  try {
    return new Refusal(JSON.parse(text) as Problem);
  } catch {
    const detail = text.slice(0, 200) || statusText;
    return new Refusal({ type: 'about:blank', title: detail, detail, status, kind: 'server-fault' });
  }
}

/**
 * Asks the server. Method and path are checked against the table of routes when this is compiled.
 *
 * @throws Refusal when the server says no; Unreachable when it does not answer to a change
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
  const reached = await reach(addressOf(path, at) + queryOf(query), request);
  if (!reached.ok) throw refusalOf(reached);
  return JSON.parse(reached.text) as AnswerOf<Name>;
}
