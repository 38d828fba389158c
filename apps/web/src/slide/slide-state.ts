import type { PhotoCount, Stage } from '@veligrid/model';
import { computed, signal, type ReadonlySignal, type Signal } from '@preact/signals';
import type { ReviewedObject, ReviewedPhoto } from '@veligrid/review';
import { needingLook } from '../state/needs-look.js';
import type { OpenSample } from '../state/open-sample.js';
import { shownObjects } from './outline-data.js';
import type { Tool, Work } from './tools.js';

/** Brightness and contrast of the photo, 1 as it is. */
export interface Light {
  readonly brightness: number;
  readonly contrast: number;
}

export const PLAIN_LIGHT: Light = { brightness: 1, contrast: 1 };

/** What is open and selected on the slide of one photo. */
export class SlideState {
  readonly open: OpenSample;
  readonly photoId: string;
  readonly selectedId: Signal<string | null>;
  /** Picked besides the selected one, to be joined with it. */
  readonly pickedIds: Signal<readonly string[]> = signal([]);
  readonly work: Signal<Work | null> = signal(null);
  readonly onlyLook: Signal<boolean> = signal(false);
  readonly hidden: Signal<boolean> = signal(false);
  /** The key that hides outlines is held down. */
  readonly held: Signal<boolean> = signal(false);
  readonly withoutStages: Signal<ReadonlySet<Stage>> = signal(new Set<Stage>());
  readonly light: Signal<Light> = signal(PLAIN_LIGHT);
  /** Stage of a larva that is added. */
  readonly addedStage: Signal<Stage>;

  readonly photo: ReadonlySignal<ReviewedPhoto | null> = computed(
    () => this.open.reviewed.value.get(this.photoId) ?? null,
  );
  readonly count: ReadonlySignal<PhotoCount | null> = computed(() => this.photo.value?.count ?? null);
  readonly objects: ReadonlySignal<readonly ReviewedObject[]> = computed(() => this.photo.value?.objects ?? []);
  readonly byId: ReadonlySignal<ReadonlyMap<string, ReviewedObject>> = computed(
    () => new Map(this.objects.value.map((object) => [object.id, object])),
  );
  readonly selected: ReadonlySignal<ReviewedObject | null> = computed(
    () => this.byId.value.get(this.selectedId.value ?? '') ?? null,
  );
  readonly look: ReadonlySignal<readonly string[]> = computed(() => {
    const photo = this.photo.value;
    return photo === null ? [] : needingLook(photo);
  });
  readonly shown: ReadonlySignal<readonly ReviewedObject[]> = computed(() =>
    shownObjects(this.objects.value, {
      only: this.onlyLook.value ? new Set(this.look.value) : null,
      without: this.withoutStages.value,
    }),
  );

  constructor(open: OpenSample, photoId: string, larva: string | null) {
    this.open = open;
    this.photoId = photoId;
    this.selectedId = signal(larva);
    this.addedStage = signal('d-larva');
  }

  /** Name of the photo's file. */
  get name(): string {
    return this.open.photos.value.find(({ id }) => id === this.photoId)?.name ?? '';
  }

  /** Selects, or picks while larvae are being joined. */
  choose(id: string | null): void {
    const joining = this.work.value?.tool === 'join';
    if (joining && id !== null && id !== this.selectedId.value) {
      const picked = this.pickedIds.value;
      this.pickedIds.value = picked.includes(id) ? picked.filter((one) => one !== id) : [...picked, id];
      return;
    }
    if (!joining) this.selectedId.value = id;
  }

  /** The one needing a look after or before the selected one, round the end. */
  neighbourToLook(step: 1 | -1): string | null {
    const look = this.look.value;
    if (look.length === 0) return null;
    const at = look.indexOf(this.selectedId.value ?? '');
    if (at >= 0) return look[(at + step + look.length) % look.length] ?? null;
    return (step === 1 ? this.#firstAfterSelected() : look.at(-1)) ?? null;
  }

  /** In reading order after the selected one, which needs no look itself any more. */
  #firstAfterSelected(): string | undefined {
    const look = this.look.value;
    const [selected, count] = [this.selected.value, this.count.value];
    if (selected === null || count === null) return look[0];
    const band = Math.max(1, count.heightPx / 8);
    const rank = ({ x, y }: ReviewedObject): number => Math.floor(y / band) * 2 * count.widthPx + x;
    return look.find((id) => rank(this.byId.value.get(id) ?? selected) > rank(selected)) ?? look[0];
  }

  /** Begins or ends a tool. */
  use(tool: Tool, work: Work): void {
    this.pickedIds.value = [];
    this.work.value = this.work.value?.tool === tool ? null : work;
  }

  /** Puts the tool away. */
  putAway(): void {
    this.pickedIds.value = [];
    this.work.value = null;
  }
}
