/** Places linked into groups; no group may hold two places of one kind. */
export class Links {
  readonly #root: number[];
  readonly #kinds: Set<number>[];

  /**
   * @param length number of places
   * @param kindOf kind of a place
   */
  constructor(length: number, kindOf: (place: number) => number) {
    this.#root = Array.from({ length }, (_, place) => place);
    this.#kinds = Array.from({ length }, (_, place) => new Set([kindOf(place)]));
  }

  #rootOf(place: number): number {
    let root = place;
    while (this.#root[root] !== root) root = this.#root[root];
    this.#root[place] = root;
    return root;
  }

  /** Links two places and all that is linked to either, unless two of one kind would come together. */
  join(one: number, two: number): void {
    const [a, b] = [this.#rootOf(one), this.#rootOf(two)];
    if (a === b || [...this.#kinds[a]].some((kind) => this.#kinds[b].has(kind))) return;
    this.#root[Math.max(a, b)] = Math.min(a, b);
    const kinds = new Set([...this.#kinds[a], ...this.#kinds[b]]);
    this.#kinds[Math.min(a, b)] = kinds;
  }

  /** Groups with their places rising, in the order of their first. */
  groups(): number[][] {
    const groups = new Map<number, number[]>();
    for (let place = 0; place < this.#root.length; place++) {
      const root = this.#rootOf(place);
      groups.set(root, [...(groups.get(root) ?? []), place]);
    }
    return [...groups.values()];
  }
}
