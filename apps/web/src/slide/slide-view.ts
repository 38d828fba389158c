import { effect, signal, type Signal } from '@preact/signals';
import type { ReviewedObject } from '@veligrid/review';
import { take } from './acts.js';
import { areaLines } from './area-lines.js';
import { hitIndex, type HitIndex } from './hit-index.js';
import { LiveLayer } from './live-layer.js';
import { packOutlines } from './outline-data.js';
import { OutlineLayer } from './outline-layer.js';
import { Picture, type Sight, type Tiles } from './picture.js';
import { boxOf, type Point } from './shapes.js';
import type { SlideState } from './slide-state.js';
import { tapped, tapsAre } from './tools.js';

/** Elements of the page that the view draws into. */
export interface ViewParts {
  readonly photo: HTMLElement;
  readonly outlines: HTMLCanvasElement;
  readonly live: HTMLCanvasElement;
}

/** More changed outlines than these are left to the painter: another filter did it, not a hand. */
const MOST_CHANGED = 60;

/** The photo with its outlines: joins the tile viewer, the painted bitmap and the live shapes with what is selected. */
export class SlideView {
  /** Where the photo lies on screen. */
  readonly sight: Signal<Sight | null> = signal(null);
  readonly picture: Picture;
  /** Before it is open the tile viewer would forget what it is to show. */
  readonly #opened: Signal<boolean> = signal(false);
  readonly #state: SlideState;
  readonly #outlines: OutlineLayer;
  readonly #live: LiveLayer;
  readonly #ends: (() => void)[] = [];
  #index: HitIndex | null = null;
  #indexed: readonly ReviewedObject[] | null = null;
  /** Objects as the bitmap on screen shows them, and as last given to the painter. */
  #painted: ReadonlyMap<string, ReviewedObject> = new Map();
  #given: ReadonlyMap<string, ReviewedObject> = new Map();
  #givenVersion = Infinity;
  #paintedVersion = -1;

  constructor(parts: ViewParts, tiles: Tiles, state: SlideState, onFirstTile: () => void) {
    this.#state = state;
    this.#outlines = new OutlineLayer(parts.outlines, (version) => {
      this.#paintedVersion = version;
      if (version >= this.#givenVersion) this.#painted = this.#given;
      this.#drawLive();
    });
    this.#live = new LiveLayer(parts.live);
    this.picture = new Picture(parts.photo, tiles, {
      onFirstTile,
      onOpen: () => {
        this.#opened.value = true;
      },
      onSight: (sight) => {
        this.sight.value = sight;
        this.#outlines.follow(sight);
        this.#live.follow(sight);
      },
      onTap: (point, reach) => {
        this.tap(point, reach);
      },
    });
    this.#follow();
  }

  /** A tap on the photo: selects, or gives the tool a point. */
  tap(point: Point, reachPx: number): void {
    const state = this.#state;
    const work = state.work.value;
    if (work !== null && work.tool !== 'join') {
      take(state, tapped({ ...work, cross: null }, point));
      return;
    }
    state.choose(this.#hits().at(point, reachPx));
  }

  /** Middle of the view, when it has come to rest, in pixels of the photo. */
  middle(): Point {
    const { left, top, scale, width, height } = this.picture.restSight();
    return [left + width / 2 / scale, top + height / 2 / scale];
  }

  /** Brings the selected larva into view. */
  toSelected(): void {
    const object = this.#state.selected.value;
    if (object !== null) this.picture.show(boxOf(object.outline));
  }

  /** Frees everything. */
  close(): void {
    for (const end of this.#ends) end();
    this.#outlines.close();
    this.picture.close();
  }

  #hits(): HitIndex {
    const shown = this.#state.shown.value;
    if (this.#index === null || this.#indexed !== shown) {
      this.#index = hitIndex(shown);
      this.#indexed = shown;
    }
    return this.#index;
  }

  #follow(): void {
    const state = this.#state;
    this.#ends.push(
      effect(() => {
        const [shown, photo] = [state.shown.value, state.photo.value];
        const lines = photo === null ? [] : areaLines(photo.count, photo.squares);
        // What the hand changed is drawn at once by the live layer; packing thousands of outlines can wait for that.
        this.#givenVersion = Infinity;
        const timer = setTimeout(() => {
          this.#given = new Map(shown.map((object) => [object.id, object]));
          this.#givenVersion = this.#outlines.setOutlines(packOutlines(shown), lines);
        }, 0);
        return () => {
          clearTimeout(timer);
        };
      }),
      effect(() => {
        this.#outlines.setVisible(!state.hidden.value && !state.held.value);
      }),
      effect(() => {
        const { brightness, contrast } = state.light.value;
        this.picture.light(brightness, contrast);
      }),
      effect(() => {
        this.#drawLive();
      }),
      effect(() => {
        const object = state.selected.value;
        if (this.#opened.value && object !== null && state.work.peek() === null)
          this.picture.reveal(boxOf(object.outline));
      }),
    );
  }

  #drawLive(): void {
    const { work, selected, pickedIds, byId, hidden, held, shown } = this.#state;
    const hide = hidden.value || held.value;
    const painted = this.#paintedVersion >= this.#givenVersion;
    const fresh = painted ? [] : shown.value.filter((object) => this.#painted.get(object.id) !== object);
    const picked = pickedIds.value.map((id) => byId.value.get(id)).filter((object) => object !== undefined);
    this.#live.set({
      selected: hide ? null : selected.value,
      picked: hide ? [] : picked,
      changed: hide || fresh.length > MOST_CHANGED ? [] : fresh,
      taps: work.value?.taps ?? [],
      tapsAre: work.value === null ? 'outline' : tapsAre(work.value.tool),
      cross: work.value?.cross ?? null,
    });
  }
}
