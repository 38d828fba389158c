import type { LoggedDecision, NewDecision, Problem, StoredDecisions } from '@veligrid/api';
import { signal, type Signal } from '@preact/signals';
import { redoLast, undoLast, type Choice, type Conflict, type Decision, type Made } from '@veligrid/review';
import { Refusal } from '../api/ask.js';
import { Unreachable } from '../api/reach.js';
import { addWaiting, dropWaiting, readWaiting, type Shelf } from './waiting.js';

/** Milliseconds between tries while the server can't be reached. */
const RETRY_MS = 4000;
/** The most that one request may hold. */
const MOST = 500;

/** Where decisions go; the server, or a double in tests. */
export interface DecisionServer {
  /** Decisions after the first `known` ones. */
  load(known: number): Promise<{ readonly order: number; readonly decisions: readonly LoggedDecision[] }>;
  store(expectedOrder: number, decisions: readonly NewDecision[]): Promise<StoredDecisions>;
}

/** What the log needs to know. */
export interface LogOptions {
  readonly sample: string;
  readonly server: DecisionServer;
  readonly shelf: Shelf;
  /** Name of the person at the microscope. */
  readonly who: () => string;
  /** Told of every change of the log: the one decision added at its end, or null when more changed. */
  readonly onChange: (added: Decision | null) => void;
  /** Told what the server refused, when nothing but giving it up helps. */
  readonly onRefused: (problem: Problem, given: readonly Decision[]) => void;
}

/** A decision as it is sent: the server says who and when. */
function unsigned(decision: Decision): NewDecision {
  return Object.fromEntries(
    Object.entries(decision).filter(([field]) => field !== 'by' && field !== 'at'),
  ) as NewDecision;
}

/** Decisions of one sample: those the server has, then those that wait in this browser. Both only ever grow. */
export class DecisionLog {
  /** All decisions as the person sees them. */
  readonly log: Signal<readonly Decision[]> = signal([]);
  /** How many are not stored yet. */
  readonly waiting: Signal<number> = signal(0);
  /** Whether the server answered last time. */
  readonly reachable: Signal<boolean> = signal(true);
  /** What two people decided differently, until one of both is chosen. */
  readonly conflicts: Signal<readonly Conflict[]> = signal([]);

  readonly #options: LogOptions;
  #stored: readonly Decision[] = [];
  #waiting: readonly Decision[] = [];
  #sending = false;
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(options: LogOptions) {
    this.#options = options;
    this.#waiting = readWaiting(options.shelf, options.sample);
  }

  /** Number of decisions that the server has. */
  get order(): number {
    return this.#stored.length;
  }

  /** Loads what the server has beyond what is known. */
  async catchUp(): Promise<void> {
    const { decisions } = await this.#options.server.load(this.#stored.length);
    this.#took(decisions);
    void this.send();
  }

  /** Decides: seen at once, kept in this browser, sent as soon as may be. */
  decide(choice: Choice): Decision {
    const decision: Decision = { ...this.#made(), ...choice };
    this.#add(decision);
    return decision;
  }

  /** Takes the person's last decision back; null when there is none. */
  undo(): Decision | null {
    return this.#addIf(undoLast(this.log.value, this.#made()));
  }

  /** Decides again what was taken back last; null when there is none. */
  redo(): Decision | null {
    return this.#addIf(redoLast(this.log.value, this.#made()));
  }

  /** Sends what waits; tries again later when the server can't be reached. */
  async send(): Promise<void> {
    if (this.#sending || this.#waiting.length === 0 || this.conflicts.value.length > 0) return;
    this.#sending = true;
    const batch = this.#waiting.slice(0, MOST);
    try {
      const { stored, newer } = await this.#options.server.store(this.#stored.length, batch.map(unsigned));
      this.reachable.value = true;
      this.#took([...newer, ...stored] as readonly Decision[]);
    } catch (error) {
      this.#failed(error, batch);
    } finally {
      this.#sending = false;
    }
    if (this.reachable.value) void this.send();
  }

  /** Ends the conflicts: sends the own decisions again on top of the others', or gives them up. */
  settle(keep: 'mine' | 'theirs'): void {
    const mine = new Set(this.conflicts.value.map((conflict) => conflict.mine.id));
    this.conflicts.value = [];
    if (keep === 'theirs') this.#drop(mine);
    void this.send();
  }

  /** Stops trying; what waits stays in this browser. */
  close(): void {
    clearTimeout(this.#timer);
  }

  #made(): Made {
    return { id: crypto.randomUUID(), by: this.#options.who(), at: new Date().toISOString() };
  }

  #addIf(decision: Decision | null): Decision | null {
    if (decision !== null) this.#add(decision);
    return decision;
  }

  #add(decision: Decision): void {
    addWaiting(this.#options.shelf, this.#options.sample, decision);
    this.#waiting = [...this.#waiting, decision];
    this.#tell(decision);
    void this.send();
  }

  #took(decisions: readonly Decision[]): void {
    const known = new Set(this.#stored.map(({ id }) => id));
    const fresh = decisions.filter(({ id }) => !known.has(id));
    if (fresh.length === 0 && this.log.value.length === this.#stored.length + this.#waiting.length) return;
    const ids = new Set(fresh.map(({ id }) => id));
    const foreign = fresh.some(({ id }) => !this.#waiting.some((own) => own.id === id));
    this.#stored = [...this.#stored, ...fresh];
    dropWaiting(this.#options.shelf, this.#options.sample, ids);
    this.#waiting = this.#waiting.filter(({ id }) => !ids.has(id));
    // The own decisions coming back change nothing that is seen.
    this.#tell(null, foreign || this.log.value.length === 0);
  }

  #drop(ids: ReadonlySet<string>): void {
    // What undid or redid a dropped one has nothing to be about any more.
    const gone = new Set(ids);
    for (const decision of this.#waiting)
      if ('decision' in decision && gone.has(decision.decision)) gone.add(decision.id);
    dropWaiting(this.#options.shelf, this.#options.sample, gone);
    this.#waiting = this.#waiting.filter(({ id }) => !gone.has(id));
    this.#tell(null);
  }

  #tell(added: Decision | null, changed = true): void {
    this.log.value = [...this.#stored, ...this.#waiting];
    this.waiting.value = this.#waiting.length;
    if (changed) this.#options.onChange(added);
  }

  #failed(error: unknown, batch: readonly Decision[]): void {
    if (error instanceof Unreachable) {
      this.reachable.value = false;
      clearTimeout(this.#timer);
      this.#timer = setTimeout(() => void this.#again(), RETRY_MS);
      return;
    }
    if (!(error instanceof Refusal)) throw error;
    const { conflicts = [], newer = [], status } = error.problem;
    if (conflicts.length > 0) {
      this.#took(newer);
      this.conflicts.value = conflicts as unknown as readonly Conflict[];
      return;
    }
    // Signed out or busy: the decisions are good and go later. Anything else would be refused for ever.
    if (status === 401 || status === 429 || status >= 500) {
      this.reachable.value = false;
      this.#timer = setTimeout(() => void this.#again(), RETRY_MS);
      return;
    }
    this.#drop(new Set(batch.map(({ id }) => id)));
    this.#options.onRefused(error.problem, batch);
  }

  async #again(): Promise<void> {
    this.reachable.value = true;
    await this.send();
  }
}
