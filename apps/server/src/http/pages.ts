import { existsSync } from 'node:fs';
import { join } from 'node:path';
import express, { type Express } from 'express';
import { BASE, routes, type Route } from '@veligrid/api';

const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');

const page = (title: string, body: string): string =>
  `<!doctype html>\n<html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>${title}</title>\n<h1>${title}</h1>\n${body}</html>\n`;

const row = (name: string, { method, path, role, summary }: Route): string =>
  `<tr><th scope="row"><code>${method.toUpperCase()} ${escaped(BASE + path)}</code></th><td>${escaped(summary)}</td><td>${role}</td><td><code>${name}</code></td></tr>\n`;

/** The interface for people: every route with who may use it. */
function interfacePage(): string {
  const rows = Object.entries<Route>(routes).map(([name, route]) => row(name, route));
  return page(
    'Veligrid: HTTP interface',
    `<p>All fields of requests and answers: <a href="${BASE}/openapi.json">openapi.json</a> (OpenAPI 3.1). Problems are answered as RFC 9457 problem details.</p>
<table><thead><tr><th>route</th><th>what</th><th>for</th><th>name</th></tr></thead><tbody>
${rows.join('')}</tbody></table>\n`,
  );
}

const NOT_BUILT = page(
  'Veligrid',
  `<p>The viewer is not built. Type <code>npm run build</code> in Veligrid's folder, then load this page again. The <a href="${BASE}/">HTTP interface</a> works already.</p>`,
);

const YEAR_MS = 31_536_000_000;

/**
 * Serves the built viewer: files under assets carry a hash in their names and never change; every other address is a
 * place in the viewer.
 *
 * @param folder of the built viewer; while it is not there a page says what to do
 */
export function servePages(app: Express, folder: string): void {
  app.get([BASE, `${BASE}/`], (_req, res) => {
    res.type('html').send(interfacePage());
  });
  app.use('/assets', express.static(join(folder, 'assets'), { immutable: true, maxAge: YEAR_MS, fallthrough: false }));
  app.use(express.static(folder, { index: false, maxAge: 0 }));
  app.get(/^\/(?!api\/)/, (req, res, next) => {
    const index = join(folder, 'index.html');
    if (!req.accepts('html')) next();
    else if (existsSync(index)) res.set('Cache-Control', 'no-cache').sendFile(index);
    else res.status(503).type('html').send(NOT_BUILT);
  });
}
