import type { z } from 'zod';

/** Who may use a route: anybody who reaches the server, or staff of a role and those above it. */
export type RouteRole = 'anyone' | 'viewer' | 'counter' | 'manager';

/** One operation of the HTTP interface. */
export interface Route {
  readonly method: 'get' | 'post' | 'put' | 'patch' | 'delete';
  /** Below `/api/v1`, with parameters as `{name}`. */
  readonly path: string;
  readonly role: RouteRole;
  /** Takes the judgement of a person: a program with an access token may not. */
  readonly peopleOnly?: boolean;
  /** One line for the page that describes the interface. */
  readonly summary: string;
  /** Parameters behind the question mark. */
  readonly query?: z.ZodType;
  /** JSON body. */
  readonly body?: z.ZodType;
  /** Text parts of a multipart form, whose files come in `files`. */
  readonly parts?: z.ZodType;
  /** Name of the form's field with files and how many may come. */
  readonly files?: { readonly field: string; readonly most: number };
  /** Status of success. Default 200. */
  readonly status?: number;
  /** JSON answer; for events what one event holds. */
  readonly answer?: z.ZodType;
  /** Media type of the answer when it is not JSON. */
  readonly media?: string;
  /** The answer carries an ETag; changing asks for it in `If-Match`. */
  readonly etag?: boolean;
}
