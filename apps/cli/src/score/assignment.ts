/**
 * Assigns rows to columns at the least total cost: the Hungarian method with potentials, O(rows^2 columns) (Kuhn 1955,
 * doi:10.1002/nav.3800020109; Jonker and Volgenant 1987, doi:10.1007/BF02278710).
 *
 * @param cost finite costs by row and column, every row of one length
 * @returns for each row its column, or -1 when there are more rows than columns and it got none
 */
export function assign(cost: readonly (readonly number[])[]): number[] {
  const rows = cost.length;
  const columns = cost[0]?.length ?? 0;
  if (rows === 0 || columns === 0) return cost.map(() => -1);
  if (rows > columns) {
    const turned = assign(Array.from({ length: columns }, (_, column) => cost.map((row) => row[column] ?? 0)));
    const result = cost.map(() => -1);
    turned.forEach((row, column) => {
      result[row] = column;
    });
    return result;
  }
  return assignWide(Float64Array.from(cost.flat()), rows, columns);
}

/** Kernel: needs rows <= columns. Rows and columns count from 1 inside, 0 stands for none. */
function assignWide(cost: Float64Array, rows: number, columns: number): number[] {
  const rowPotential = new Float64Array(rows + 1);
  const columnPotential = new Float64Array(columns + 1);
  const rowOf = new Int32Array(columns + 1);
  const from = new Int32Array(columns + 1);
  const at = (list: ArrayLike<number>, index: number): number => list[index] ?? 0;
  for (let row = 1; row <= rows; row++) {
    const least = new Float64Array(columns + 1).fill(Infinity);
    const used = new Uint8Array(columns + 1);
    rowOf[0] = row;
    let column = 0;
    // grow a tree of tight edges until it reaches a free column
    do {
      used[column] = 1;
      const own = at(rowOf, column);
      let delta = Infinity;
      let next = 0;
      for (let j = 1; j <= columns; j++) {
        if (used[j] === 1) continue;
        const slack = at(cost, (own - 1) * columns + j - 1) - at(rowPotential, own) - at(columnPotential, j);
        if (slack < at(least, j)) {
          least[j] = slack;
          from[j] = column;
        }
        if (at(least, j) < delta) {
          delta = at(least, j);
          next = j;
        }
      }
      for (let j = 0; j <= columns; j++) {
        if (used[j] === 1) {
          rowPotential[at(rowOf, j)] = at(rowPotential, at(rowOf, j)) + delta;
          columnPotential[j] = at(columnPotential, j) - delta;
        } else {
          least[j] = at(least, j) - delta;
        }
      }
      column = next;
    } while (at(rowOf, column) !== 0);
    // turn the path round
    while (column !== 0) {
      const before = at(from, column);
      rowOf[column] = at(rowOf, before);
      column = before;
    }
  }
  const result = new Array<number>(rows).fill(-1);
  for (let j = 1; j <= columns; j++) if (at(rowOf, j) > 0) result[at(rowOf, j) - 1] = j - 1;
  return result;
}
