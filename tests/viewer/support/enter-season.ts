/** Ids of what was entered, by the name it was given here. */
export type Entered = ReadonlyMap<string, string>;

type Fields = Readonly<Record<string, string>>;

/** A small season that a person at the bench would enter: one batch in two tanks with two counts. */
const SEASON: readonly (readonly [name: string, kind: string, fields: Fields])[] = [
  ['N-01', 'animal', { animal: 'N-01', sex: 'female' }],
  ['E-17', 'animal', { animal: 'E-17', sex: 'male' }],
  ['Spawn 1', 'spawn', { spawn: 'Spawn 1', at: '2026-05-04T07:00Z', cue: 'warmed' }],
  ['X1', 'cross', { cross: 'X1', spawn: 'Spawn 1', dams: 'N-01', sires: 'E-17', at: '2026-05-04T10:00Z' }],
  ['A', 'batch', { batch: 'A', crosses: 'X1=1000000' }],
  ['1-1', 'tank', { tank: '1-1', volume_l: '1000' }],
  ['1-2', 'tank', { tank: '1-2', volume_l: '1000' }],
  ['stocked', 'move', { kind: 'stock', to: '1-1', batch: 'A', number: '1000000', at: '2026-05-04T11:00Z' }],
  [
    'day 2',
    'count',
    {
      tank: '1-1',
      at: '2026-05-06T10:00Z',
      container_ml: '1000',
      counts: '500;500;500',
      dead: '0;0;10',
      volume_ml: '1',
      stage: 'd-larva',
      lengths_um: '70;72;74',
    },
  ],
  ['cull', 'move', { kind: 'cull', from: '1-1', number: '100000', screen_um: '35', at: '2026-05-06T11:00Z' }],
  ['split', 'move', { kind: 'split', from: '1-1', to: '1-2', number: '150000', at: '2026-05-06T12:00Z' }],
  [
    'day 4',
    'count',
    {
      tank: '1-1',
      at: '2026-05-08T10:00Z',
      container_ml: '1000',
      counts: '200;200;200',
      volume_ml: '1',
      stage: 'umbo',
      lengths_um: '95;97;99',
    },
  ],
];

/** Enters the small season over HTTP, in the name of Ana. */
export async function enterSeason(url: string): Promise<Entered> {
  const ids = new Map<string, string>();
  for (const [name, kind, fields] of SEASON) {
    const answer = await fetch(`${url}/api/v1/entries/${kind}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', cookie: 'veligrid-name=Ana', 'sec-fetch-site': 'same-origin' },
      body: JSON.stringify({ fields }),
    });
    if (!answer.ok) throw new Error(`${name} was refused: ${await answer.text()}`);
    ids.set(name, ((await answer.json()) as { id: string }).id);
  }
  return ids;
}
