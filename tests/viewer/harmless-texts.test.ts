import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openBrowser, type Browsing } from './support/browser.js';
import { serve, type Served } from './support/serve.js';

/** Text that would do harm where text is taken for markup, script, a path, a query, a header or a formula. */
const TRIES = [
  `<img src=x onerror="window.hit='img'">`,
  `"><script>window.hit='script'</script>`,
  `<svg onload="window.hit='svg'">`,
  `javascript:window.hit='address'`,
  `' onmouseover='window.hit="attribute"' x='`,
  `{{constructor.constructor('window.hit=1')()}}`,
  '${window.hit="template"}',
  `'; drop table tank; --`,
  `") or 1=1 --`,
  '../../../../etc/passwd',
  'a\r\nX-Harm: yes',
  '=HYPERLINK("http://harm.invalid","x")',
  'abc\u202Edcba',
  '%00%0d%0a',
];

/** A name of its own for each try, as two things of one kind never share one. */
const named = (text: string, i: number): string => `${text} ${String(i)}`;

const photo = readFileSync(new URL('../../sample-images/drawn/eyed_05.jpg', import.meta.url));
const WHO = encodeURIComponent(TRIES[0] ?? '');

interface Made {
  readonly addresses: string[];
  readonly samples: string[];
}

/** Sends every try as every text that staff type. */
async function enterAll(url: string): Promise<Made> {
  const send = async (method: string, path: string, body?: unknown): Promise<Record<string, unknown>> => {
    const form = body instanceof FormData;
    const answer = await fetch(`${url}/api/v1${path}`, {
      method,
      headers: {
        Cookie: `veligrid-name=${WHO}`,
        'Sec-Fetch-Site': 'same-origin',
        ...(form ? {} : { 'Content-Type': 'application/json' }),
      },
      ...(body === undefined ? {} : { body: form ? body : JSON.stringify(body) }),
    });
    const text = await answer.text();
    expect([path, answer.status < 400, text.slice(0, 300)]).toEqual([path, true, text.slice(0, 300)]);
    expect(answer.headers.get('X-Harm')).toBeNull();
    return JSON.parse(text) as Record<string, unknown>;
  };
  const enter = (kind: string, fields: Record<string, string>): Promise<Record<string, unknown>> =>
    send('POST', `/entries/${kind}`, { fields });
  const [addresses, samples]: [string[], string[]] = [[], []];
  for (const [i, text] of TRIES.entries()) {
    const name = named(text, i);
    const animal = { line: text, origin: text, selected_for: text, note: text };
    await enter('animal', { animal: `F${String(i)} ${text}`, sex: 'female', ...animal });
    await enter('animal', { animal: `M${String(i)} ${text}`, sex: 'male', ...animal });
    const spawn = await enter('spawn', { spawn: name, cue: text, note: text });
    const [dam, sire] = [`F${String(i)} ${text}`.trim(), `M${String(i)} ${text}`.trim()];
    await enter('spawn-result', { spawn: name, animal: dam, outcome: 'spawned', sex: 'female', note: text });
    // lists are split at semicolons, which a tag with one can't be named in
    if (!text.includes(';')) await enter('cross', { cross: name, spawn: name, dams: dam, sires: sire, note: text });
    const batch = await enter('batch', { batch: name, species: 'eastern-oyster', note: text });
    const tank = await enter('tank', { tank: name, volume_l: '2000', note: text });
    await enter('culture', { culture: name, alga: text, note: text });
    await enter('culture-reading', { culture: name, litres: '100', cells_per_ml: '4e6', note: text });
    await enter('move', { kind: 'stock', to: name, batch: name, number: '1000000', place: text, note: text });
    await enter('ration', { tank: name, culture: name, litres: '2', note: text });
    await enter('water', { tank: name, temperature_c: '26', note: text });
    const counts = { counts: '40;38', volume_ml: '1', container_ml: '20000', stage: 'd-larva' };
    const counted = await enter('count', { tank: name, sample: name, note: text, ...counts });
    samples.push(String(counted['id']));
    const ids = { spawn: spawn['id'], batch: batch['id'], tank: tank['id'] };
    for (const [screen, id] of Object.entries(ids)) addresses.push(`#/${screen}/${String(id)}`);
    addresses.push(`#/after/${String(counted['id'])}`, `#/setting/${String(batch['id'])}`);
    addresses.push(`#/batch-report/${String(batch['id'])}`);
  }
  await send('PATCH', '/settings', { hatchery: TRIES[1] });
  const [tank] = ((await send('GET', '/tanks'))['tanks'] as { id: string }[]).slice(0, 1);
  const sample = await send('POST', '/samples', {
    tank: tank?.id,
    takenAt: '2026-06-01T08:00:00Z',
    condition: { kind: 'fixed', fixative: TRIES[0] },
    species: 'eastern-oyster',
    containerMl: 200,
    fillings: [{ steps: [], wholeSlideMl: 1 }],
    cell: { kind: 'none' },
    scale: { kind: 'given', umPerPx: 1.5 },
    countingRule: 'centroid',
    note: TRIES[1],
  });
  const form = new FormData();
  form.append('photos', new Blob([photo], { type: 'image/jpeg' }), `${TRIES[0] ?? ''}.jpg`);
  await send('POST', `/samples/${String(sample['id'])}/photos`, form);
  for (const screen of ['photos', 'slide', 'rows', 'lengths', 'sign-off', 'print']) {
    addresses.push(`#/count/${String(sample['id'])}/${screen}`);
  }
  return { addresses, samples };
}

const PAGES = ['#/morning', '#/counts', '#/batches', '#/feed', '#/spawns', '#/begin', '#/settings'].concat(
  ['tanks', 'cultures', 'figures', 'calibration', 'rules', 'backups'].map((page) => `#/settings/${page}`),
);

describe('text that means something to a page, a database or a path', { timeout: 240_000 }, () => {
  let served: Served;
  let browsing: Browsing;
  let made: Made;

  beforeAll(async () => {
    served = await serve();
    made = await enterAll(served.url);
    browsing = await openBrowser();
    const cookie = { name: 'veligrid-name', value: WHO, url: served.url };
    await browsing.context.addCookies([cookie]);
  }, 240_000);
  afterAll(async () => {
    await browsing.close();
    await served.close();
  });

  it('is only ever shown, on every page', async () => {
    const { page, faults } = browsing;
    const dialogs: string[] = [];
    page.on('dialog', (dialog) => {
      dialogs.push(dialog.message());
      void dialog.dismiss();
    });
    const outside: string[] = [];
    page.on('request', (request) => {
      if (!/^(data|blob):/.test(request.url()) && !request.url().startsWith(served.url)) outside.push(request.url());
    });
    await page.goto(`${served.url}/${PAGES[0] ?? ''}`);
    let shown = 0;
    for (const address of [...PAGES, ...made.addresses]) {
      await page.evaluate((hash) => (location.hash = hash), address);
      await page.waitForLoadState('networkidle');
      const seen = await page.evaluate(() => ({
        hit: (window as { hit?: unknown }).hit ?? null,
        images: document.querySelectorAll('img[src="x"], svg[onload], [onerror], [onmouseover]').length,
        scripts: [...document.scripts].filter(({ textContent }) => textContent.includes('window.hit')).length,
        links: [...document.links].filter(({ href }) => href.startsWith('javascript:')).length,
        text: document.body.textContent,
      }));
      expect([address, seen.hit, seen.images, seen.scripts, seen.links]).toEqual([address, null, 0, 0, 0]);
      if (TRIES.some((text) => seen.text.includes(text.trim()))) shown += 1;
    }
    // were the text not shown anywhere, nothing would have been tried
    expect(shown).toBeGreaterThan(made.addresses.length / 2);
    expect([dialogs, outside, faults]).toEqual([[], [], []]);
  });

  it('an address that is no address leads to the first page', async () => {
    const { page, faults } = browsing;
    for (const hash of ['#/batch/%E0%A4%A', '#/count/%/slide', '#/javascript:alert(1)', '#/batch/<script>']) {
      await page.evaluate((to) => (location.hash = to), hash);
      await page.getByRole('navigation').first().waitFor();
    }
    expect(faults).toEqual([]);
  });

  it('leaves the store as it was meant', async () => {
    const tanks = (await (await fetch(`${served.url}/api/v1/tanks`)).json()) as { tanks: { name: string }[] };
    expect(tanks.tanks.map(({ name }) => name)).toEqual(TRIES.map((text, i) => named(text, i).trim()));
    const csv = await (await fetch(`${served.url}/api/v1/samples/${made.samples[11] ?? ''}/result.csv`)).text();
    expect(csv).not.toMatch(/(^|,)"?=HYPERLINK/m);
  });
});
