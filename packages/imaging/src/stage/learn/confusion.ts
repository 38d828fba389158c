import type { Stage } from '@veligrid/model';

/** One larva: what it is, and what rules said. */
export interface Judged {
  readonly truth: Stage;
  readonly said: Stage;
}

/** How often each stage was called what. */
export interface Confusion {
  readonly stages: readonly Stage[];
  /** Row: what it is; column: what was said; both in the order of `stages`. */
  readonly table: readonly (readonly number[])[];
}

/** Agreement of a confusion table. */
export interface TableAgreement {
  readonly larvae: number;
  /** Share called rightly, 0..1. */
  readonly accuracy: number;
  /** Mean of the stages' recalls, 0..1. */
  readonly balancedAccuracy: number;
  /** Cohen's kappa: agreement beyond chance, -1..1. */
  readonly kappa: number;
  /** The same with squared weights: being off by two stages counts four times. */
  readonly quadraticKappa: number;
  /** Share found of each stage, 0..1; null for stages without larvae. */
  readonly recalls: readonly (number | null)[];
  /** Share right among those called a stage, 0..1; null for stages never called. */
  readonly precisions: readonly (number | null)[];
}

/**
 * Confusion table.
 *
 * @param judged larvae
 * @param order stages wanted, in order; what is said outside of it adds a stage at the end
 */
export function confusion(judged: readonly Judged[], order: readonly Stage[]): Confusion {
  const seen = new Set(judged.flatMap(({ truth, said }) => [truth, said]));
  const stages = [...order.filter((stage) => seen.has(stage)), ...[...seen].filter((stage) => !order.includes(stage))];
  const table = stages.map(() => stages.map(() => 0));
  for (const { truth, said } of judged) table[stages.indexOf(truth)][stages.indexOf(said)]++;
  return { stages, table };
}

function weightedKappa(table: readonly (readonly number[])[], weight: (i: number, j: number) => number): number {
  const rows = table.map((row) => row.reduce((a, b) => a + b, 0));
  const columns = table.map((_, j) => table.reduce((sum, row) => sum + row[j], 0));
  const total = rows.reduce((a, b) => a + b, 0);
  let [observed, expected] = [0, 0];
  table.forEach((row, i) => {
    row.forEach((count, j) => {
      observed += weight(i, j) * count;
      expected += (weight(i, j) * rows[i] * columns[j]) / total;
    });
  });
  return expected > 0 ? 1 - observed / expected : 1;
}

/** Agreement of a table with one larva or more. */
export function agreementOf({ table }: Pick<Confusion, 'table'>): TableAgreement {
  const larvae = table.flat().reduce((a, b) => a + b, 0);
  const share = (part: number, whole: number): number | null => (whole > 0 ? part / whole : null);
  const recalls = table.map((row, i) =>
    share(
      row[i],
      row.reduce((a, b) => a + b, 0),
    ),
  );
  const precisions = table.map((_, j) =>
    share(
      table[j][j],
      table.reduce((sum, row) => sum + row[j], 0),
    ),
  );
  const there = recalls.filter((recall) => recall !== null);
  return {
    larvae,
    accuracy: table.reduce((sum, row, i) => sum + row[i], 0) / larvae,
    balancedAccuracy: there.reduce((a, b) => a + b, 0) / there.length,
    kappa: weightedKappa(table, (i, j) => (i === j ? 0 : 1)),
    quadraticKappa: weightedKappa(table, (i, j) => (i - j) ** 2),
    recalls,
    precisions,
  };
}
