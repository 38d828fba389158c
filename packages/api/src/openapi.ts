import { z } from 'zod';
import { problem } from './problem.js';
import type { Route } from './route.js';
import { BASE, routes } from './routes.js';

type Json = Readonly<Record<string, unknown>>;

/** JSON Schema of what is sent (`input`) or answered (`output`). */
function schemaOf(type: z.ZodType, io: 'input' | 'output'): Json {
  const schema: Record<string, unknown> = z.toJSONSchema(type, { io });
  delete schema['$schema'];
  return schema;
}

const pathParameters = (path: string): Json[] =>
  [...path.matchAll(/\{(\w+)\}/g)].map(([, name]) => ({
    name,
    in: 'path',
    required: true,
    schema: { type: 'string' },
  }));

function queryParameters(query: z.ZodType): Json[] {
  const { properties = {}, required = [] } = schemaOf(query, 'input') as {
    readonly properties?: Json;
    readonly required?: readonly string[];
  };
  return Object.entries(properties).map(([name, schema]) => ({
    name,
    in: 'query',
    required: required.includes(name),
    schema,
  }));
}

const asJson = (value: unknown): Json => (typeof value === 'object' && value !== null ? { ...value } : {});

/** A form with files: each text part as a string, the files as bytes. */
function formSchema({ parts, files }: Route): Json {
  const properties = parts === undefined ? {} : asJson(schemaOf(parts, 'input')['properties']);
  const bytes = { type: 'array', items: { type: 'string', format: 'binary' }, maxItems: files?.most ?? 1 };
  return { type: 'object', properties: { ...properties, [files?.field ?? 'files']: bytes } };
}

function requestBody(route: Route): Json | null {
  if (route.files !== undefined) {
    return { required: true, content: { 'multipart/form-data': { schema: formSchema(route) } } };
  }
  if (route.body === undefined) return null;
  return { required: true, content: { 'application/json': { schema: schemaOf(route.body, 'input') } } };
}

const PROBLEM = { $ref: '#/components/responses/Problem' };

function responses({ status = 200, answer, media = 'application/json', summary }: Route): Json {
  const schema = answer === undefined ? {} : { schema: schemaOf(answer, 'output') };
  return { [status]: { description: summary, content: { [media]: schema } }, default: PROBLEM };
}

const IF_MATCH = { name: 'If-Match', in: 'header', required: true, schema: { type: 'string' } };

/** A person by their sign-in; a program by its token where no judgement and no manager is needed. */
function securityOf({ role, peopleOnly = false }: Route): Json[] {
  if (role === 'anyone') return [];
  return role === 'manager' || peopleOnly ? [{ session: [] }] : [{ session: [] }, { token: [] }];
}

function operation(name: string, route: Route): Json {
  const body = requestBody(route);
  const parameters = [
    ...pathParameters(route.path),
    ...(route.query === undefined ? [] : queryParameters(route.query)),
    ...(route.etag === true && route.method !== 'get' ? [IF_MATCH] : []),
  ];
  return {
    operationId: name,
    summary: route.summary,
    'x-role': route.role,
    ...(parameters.length > 0 ? { parameters } : {}),
    ...(body === null ? {} : { requestBody: body }),
    responses: responses(route),
    security: securityOf(route),
  };
}

/** The interface as an OpenAPI 3.1 document, made from the schemas that check what comes in. */
export function openApi(version: string): Json {
  const paths: Record<string, Record<string, Json>> = {};
  for (const [name, route] of Object.entries<Route>(routes)) {
    const path = (paths[route.path] ??= {});
    path[route.method] = operation(name, route);
  }
  return {
    openapi: '3.1.0',
    info: {
      title: 'Veligrid',
      version,
      description: 'Counts of oyster larvae: photos, decisions of staff, signed-off results.',
    },
    servers: [{ url: BASE }],
    paths,
    components: {
      responses: {
        Problem: {
          description: 'What went wrong and what to do (RFC 9457)',
          content: { 'application/problem+json': { schema: schemaOf(problem, 'output') } },
        },
      },
      securitySchemes: {
        session: { type: 'apiKey', in: 'cookie', name: 'veligrid' },
        token: { type: 'http', scheme: 'bearer' },
      },
    },
  };
}
