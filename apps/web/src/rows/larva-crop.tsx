import { useEffect, useRef } from 'preact/hooks';
import type { VNode } from 'preact';
import { StageSign } from '../parts/stage-sign.js';
import { drawCrop } from '../parts/crop.js';
import { pyramidOf } from '../parts/pyramids.js';
import { boxOf, type Box } from '../slide/shapes.js';
import type { Larva } from '../state/larvae.js';
import { decimals } from '../words/numbers.js';
import { say } from '../words/say.js';

/** Side of the canvas; shown at two thirds, so that it is sharp on dense screens. */
const DENSE = 144;
/** Room round the larva over its size. */
const ROOM = 1.3;

/** A square of the photo round an outline. */
function cropBox(outline: Larva['object']['outline']): Box {
  const { minX, minY, maxX, maxY } = boxOf(outline);
  const half = (ROOM * Math.max(maxX - minX, maxY - minY, 8)) / 2;
  const [x, y] = [(minX + maxX) / 2, (minY + maxY) / 2];
  return { minX: x - half, minY: y - half, maxX: x + half, maxY: y + half };
}

const watched = new WeakMap<Element, () => void>();
const watcher =
  typeof IntersectionObserver === 'undefined'
    ? null
    : new IntersectionObserver(
        (entries) => {
          for (const { isIntersecting, target } of entries) {
            if (!isIntersecting) continue;
            watched.get(target)?.();
            watched.delete(target);
            watcher?.unobserve(target);
          }
        },
        { rootMargin: '200px' },
      );

/** Calls back when an element first comes near the screen. */
function whenSeen(element: Element, then: () => void): void {
  watched.set(element, then);
  watcher?.observe(element);
}

interface Props {
  readonly larva: Larva;
  readonly selected: boolean;
  readonly focused: boolean;
  readonly onPress: (event: MouseEvent) => void;
}

/** One larva cut out of its photo, with its sign and length. */
export function LarvaCrop({ larva, selected, focused, onPress }: Props): VNode {
  const canvas = useRef<HTMLCanvasElement>(null);
  const { object, photo, key, needsLook } = larva;
  useEffect(() => {
    const element = canvas.current;
    if (element === null) return;
    whenSeen(element, () => {
      void pyramidOf(photo).then((tiles) => drawCrop(element, tiles, cropBox(object.outline)));
    });
  }, [photo, object.outline]);
  const length = object.lengthUm === null ? '–' : decimals(object.lengthUm, 0);
  return (
    <li
      id={`crop-${key.replace(' ', '-')}`}
      role="option"
      class="crop"
      aria-selected={selected}
      data-focused={focused ? 'yes' : 'no'}
      onClick={onPress}
    >
      <canvas ref={canvas} width={DENSE} height={DENSE} class="crop-picture" />
      <span class="unseen">{`${object.id}, ${say(`stage.${object.stage}`)}, `}</span>
      <span class="crop-words">
        <StageSign stage={object.stage} /> {length}
        {needsLook && <b aria-hidden="true">!</b>}
      </span>
      <span class="unseen">{needsLook ? ` µm, ${say('look.needs')}` : ' µm'}</span>
    </li>
  );
}
