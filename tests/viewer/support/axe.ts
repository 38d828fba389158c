import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const require = createRequire(import.meta.url);
const source = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');

/** Rules of WCAG 2.2, levels A and AA (axe-core, https://github.com/dequelabs/axe-core). */
const LEVELS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

interface Violation {
  readonly id: string;
  readonly nodes: readonly { readonly html: string }[];
}

/** What axe-core finds wrong on the page that is open, one line each; nothing when all is well. */
export async function axeFaults(page: Page): Promise<string[]> {
  await page.evaluate(source);
  const violations = await page.evaluate(async (levels): Promise<readonly Violation[]> => {
    const { axe } = globalThis as unknown as {
      axe: { run(options: object): Promise<{ violations: readonly Violation[] }> };
    };
    return (await axe.run({ runOnly: levels })).violations;
  }, LEVELS);
  return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 160)).join(' | ')}`);
}
