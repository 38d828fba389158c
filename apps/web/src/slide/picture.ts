import OpenSeadragon from 'openseadragon';
import type { Box, Point } from './shapes.js';

/** Where the photo lies on screen: pixel (left, top) of the photo at the corner of the view, `scale` screen pixels each. */
export interface Sight {
  readonly left: number;
  readonly top: number;
  readonly scale: number;
  /** Size of the view in screen pixels. */
  readonly width: number;
  readonly height: number;
}

/** The pyramid of a photo. */
export interface Tiles {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly tileSize: number;
  readonly overlap: number;
  readonly maxLevel: number;
  readonly addressOf: (level: number, column: number, row: number) => string;
}

/** Seconds that a move takes; none for people who asked their device for less motion. */
const moveSeconds = (): number => (matchMedia('(prefers-reduced-motion: reduce)').matches ? 0 : 0.25);

/** Screen pixels a pixel of the photo at the closest. */
const CLOSEST = 12;

/** What the picture tells. */
export interface PictureEvents {
  /** The photo's size and place are known. */
  readonly onOpen: () => void;
  /** The view moved, was zoomed or changed its size. */
  readonly onSight: (sight: Sight) => void;
  /** A tap or click at a point of the photo, with the pixels of the photo that a fingertip covers. */
  readonly onTap: (point: Point, reachPx: number) => void;
  /** First part of the photo is drawn. */
  readonly onFirstTile?: () => void;
}

/** Half the width of a fingertip on screen, in screen pixels. */
const FINGERTIP = 14;

/** Wraps the tile viewer: the photo alone, without controls of its own. */
export class Picture {
  readonly #viewer: OpenSeadragon.Viewer;
  readonly #tiles: Tiles;

  constructor(element: HTMLElement, tiles: Tiles, events: PictureEvents) {
    this.#tiles = tiles;
    this.#viewer = new OpenSeadragon.Viewer({
      element,
      drawer: 'canvas',
      showNavigationControl: false,
      animationTime: moveSeconds(),
      // a server that is started again answers within seconds
      tileRetryMax: 60,
      tileRetryDelay: 2000,
      maxZoomPixelRatio: CLOSEST,
      minZoomImageRatio: 0.8,
      visibilityRatio: 0.3,
      gestureSettingsMouse: { clickToZoom: false, dblClickToZoom: false },
      gestureSettingsTouch: { clickToZoom: false, dblClickToZoom: false },
      gestureSettingsPen: { clickToZoom: false, dblClickToZoom: false },
      tileSources: [
        {
          width: tiles.widthPx,
          height: tiles.heightPx,
          tileSize: tiles.tileSize,
          tileOverlap: tiles.overlap,
          minLevel: 0,
          maxLevel: tiles.maxLevel,
          getTileUrl: tiles.addressOf,
        } as unknown as OpenSeadragon.TileSource,
      ],
    });
    this.#listen(events);
  }

  #listen({ onOpen, onSight, onTap, onFirstTile }: PictureEvents): void {
    const viewer = this.#viewer;
    const tell = (): void => {
      onSight(this.sight());
    };
    viewer.addHandler('update-viewport', tell);
    viewer.addHandler('open', () => {
      tell();
      onOpen();
    });
    viewer.addHandler('resize', tell);
    if (onFirstTile !== undefined) viewer.addOnceHandler('tile-drawn', onFirstTile);
    // The page has keys of its own, which anybody can change; those of the tile viewer would come on top.
    viewer.addHandler('canvas-key', (event) => {
      event.preventDefaultAction = true;
    });
    viewer.addHandler('canvas-click', (event) => {
      event.preventDefaultAction = true;
      if (!event.quick) return;
      const { left, top, scale } = this.sight();
      onTap([left + event.position.x / scale, top + event.position.y / scale], FINGERTIP / scale);
    });
  }

  /** Where the photo lies now; a whole photo in an empty view before it is open. */
  sight(): Sight {
    return this.#sightOf(this.#viewer.viewport.getBoundsNoRotate(true));
  }

  /** Where the photo will lie when a move under way has come to rest: keys mean that, as they may come quicker. */
  restSight(): Sight {
    return this.#sightOf(this.#viewer.viewport.getBoundsNoRotate(false));
  }

  #sightOf(bounds: OpenSeadragon.Rect): Sight {
    const size = this.#viewer.viewport.getContainerSize();
    // Width 1 in the tile viewer's own frame is the width of the photo. Pixel centres lie at integers.
    const scale = size.x / (bounds.width * this.#tiles.widthPx);
    return {
      left: bounds.x * this.#tiles.widthPx - 0.5,
      top: bounds.y * this.#tiles.widthPx - 0.5,
      scale,
      width: size.x,
      height: size.y,
    };
  }

  /** Zooms about the middle of the view; above 1 is nearer. */
  zoomBy(factor: number): void {
    this.#viewer.viewport.zoomBy(factor);
    this.#viewer.viewport.applyConstraints();
  }

  /** Moves the view by parts of its size, -1..1. */
  moveBy(across: number, down: number): void {
    const bounds = this.#viewer.viewport.getBoundsNoRotate();
    this.#viewer.viewport.panBy(new OpenSeadragon.Point(across * bounds.width, down * bounds.height));
    this.#viewer.viewport.applyConstraints();
  }

  /** Shows the whole photo. */
  whole(): void {
    this.#viewer.viewport.goHome();
  }

  /** Brings a box of the photo into view: with room round it, and no nearer than needed to see it well. */
  show({ minX, minY, maxX, maxY }: Box, roomy = 6): void {
    const width = this.#tiles.widthPx;
    const size = Math.max(maxX - minX, maxY - minY) * roomy;
    const [x, y] = [(minX + maxX) / 2 - size / 2, (minY + maxY) / 2 - size / 2];
    this.#viewer.viewport.fitBounds(
      new OpenSeadragon.Rect(x / width, y / width, Math.max(size, 1) / width, Math.max(size, 1) / width),
    );
  }

  /** Moves the view only as far as needed to have a box in it. */
  keepInView(box: Box): void {
    const { left, top, scale, width, height } = this.restSight();
    const dx = Math.min(0, box.minX - left) + Math.max(0, box.maxX - left - width / scale);
    const dy = Math.min(0, box.minY - top) + Math.max(0, box.maxY - top - height / scale);
    if (dx !== 0 || dy !== 0) this.moveBy((dx * scale) / width, (dy * scale) / height);
  }

  /** Brings a box into view only when it is out of it. */
  reveal(box: Box): void {
    const { left, top, scale, width, height } = this.restSight();
    const edge = 12 / scale;
    const inView =
      box.minX > left + edge &&
      box.minY > top + edge &&
      box.maxX < left + width / scale - edge &&
      box.maxY < top + height / scale - edge;
    const large = (box.maxX - box.minX) * scale > 24;
    if (inView && large) return;
    if (large) {
      const centre = new OpenSeadragon.Point(
        (box.minX + box.maxX) / 2 / this.#tiles.widthPx,
        (box.minY + box.maxY) / 2 / this.#tiles.widthPx,
      );
      this.#viewer.viewport.panTo(centre);
    } else this.show(box);
  }

  /** Brightness and contrast of the photo alone, 1 as it is. */
  light(brightness: number, contrast: number): void {
    const canvas = this.#viewer.drawer.canvas as HTMLElement;
    const plain = brightness === 1 && contrast === 1;
    canvas.style.filter = plain ? '' : `brightness(${brightness}) contrast(${contrast})`;
  }

  /** Frees everything. */
  close(): void {
    this.#viewer.destroy();
  }
}
