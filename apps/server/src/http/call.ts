import type { Request, Response } from 'express';
import type { z } from 'zod';
import type { AnswerOf, RouteName, Routes } from '@veligrid/api';
import type { Role } from '@veligrid/storage';
import type { House } from '../house.js';
import type { Given } from './given.js';

/** Who asks. */
export interface Person {
  /** Null when nobody is signed in, or nobody has said who is at the microscope. */
  readonly name: string | null;
  /** Null when they may do nothing. */
  readonly role: Role | null;
  /** Id among the staff; null on a machine without accounts. */
  readonly staffId: string | null;
  /** Hash of the token of their sign-in. */
  readonly tokenHash: string | null;
  /** A program with an access token. */
  readonly isProgram: boolean;
}

type Checked<Name extends RouteName, Part extends 'body' | 'query' | 'parts'> = Routes[Name] extends {
  readonly [P in Part]: infer Type extends z.ZodType;
}
  ? z.output<Type>
  : undefined;

/** A file that came with the request and lies on disk. */
export interface SentFile {
  readonly path: string;
  /** As the browser called it; only ever shown. */
  readonly name: string;
}

/** One request, checked. */
export interface Call<Name extends RouteName> {
  readonly house: House;
  readonly person: Person;
  /** Name for the records; there is one wherever more than looking is allowed. */
  readonly by: string;
  readonly params: Readonly<Record<string, string>>;
  readonly body: Checked<Name, 'body'>;
  readonly query: Checked<Name, 'query'>;
  readonly parts: Checked<Name, 'parts'>;
  readonly files: readonly SentFile[];
  readonly req: Request;
  readonly res: Response;
}

/** What a handler gives back: the answer, or nothing where it has a media type of its own and was written already. */
export type Answer<Name extends RouteName> = Routes[Name] extends { readonly media: string }
  ? unknown
  : Given<AnswerOf<Name>>;

/** Answers a request. */
export type Handler<Name extends RouteName> = (call: Call<Name>) => Promise<Answer<Name>>;

/** A handler for each of some routes. */
export type Handlers<Names extends RouteName> = { readonly [Name in Names]: Handler<Name> };
