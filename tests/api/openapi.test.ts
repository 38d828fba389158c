import { Validator } from '@seriousme/openapi-schema-validator';
import { describe, expect, it } from 'vitest';
import { openApi, routes, type Route } from '@veligrid/api';

type Document = Readonly<Record<string, unknown>> & {
  readonly paths: Readonly<
    Record<
      string,
      Readonly<Record<string, { readonly parameters?: readonly { readonly name: string; readonly in: string }[] }>>
    >
  >;
};
const document = openApi('0.1.0') as Document;

describe('the OpenAPI document', () => {
  // against the schemas that the OpenAPI Initiative publishes (spec.openapis.org/oas/3.1), as that package bundles them
  it('is valid OpenAPI 3.1', async () => {
    const validator = new Validator();
    const { valid, errors } = await validator.validate(structuredClone(document));
    expect(errors ?? []).toEqual([]);
    expect([valid, validator.version]).toEqual([true, '3.1']);
  });

  it('has every route with all parameters of its path', () => {
    for (const [name, { method, path }] of Object.entries<Route>(routes)) {
      const operation = document.paths[path]?.[method];
      expect(operation, name).toMatchObject({ operationId: name });
      const named = (operation.parameters ?? []).filter((one) => one.in === 'path').map((one) => one.name);
      expect(named, name).toEqual([...path.matchAll(/\{(\w+)\}/g)].map(([, parameter]) => parameter));
    }
  });

  it('asks for If-Match where two people may edit', () => {
    const { parameters } = document.paths['/samples/{sample}']?.['patch'] ?? {};
    expect(parameters).toContainEqual({ name: 'If-Match', in: 'header', required: true, schema: { type: 'string' } });
  });
});

describe('the routes', () => {
  it('each have a method and path of their own', () => {
    const all = Object.values<Route>(routes).map(
      ({ method, path }) => `${method} ${path.replaceAll(/\{\w+\}/g, '{}')}`,
    );
    expect(new Set(all).size).toBe(all.length);
  });

  it('change nothing by GET, and nothing is changed by viewers but their own password', () => {
    const changing = Object.values<Route>(routes).filter(({ method, role }) => method !== 'get' && role === 'viewer');
    // a question may be too long for an address: it is sent, answered, and nothing of it is kept
    const asked = ['/plans/try'];
    expect(changing.map(({ path }) => path).filter((path) => !asked.includes(path))).toEqual(['/session/password']);
  });
});
