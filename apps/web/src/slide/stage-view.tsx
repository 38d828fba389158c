import type { Pyramid } from '@veligrid/api';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { say } from '../words/say.js';
import { ScaleBar } from './scale-bar.js';
import { SlideView } from './slide-view.js';
import type { SlideState } from './slide-state.js';
import { tilesOf } from './tiles-of.js';
import { ToolWords } from './tool-words.js';
import { pressedOnPhoto } from './photo-keys.js';

interface Props {
  readonly state: SlideState;
  readonly pyramid: Pyramid;
  readonly onView: (view: SlideView | null) => void;
}

/** The photo with outlines, to look at, tap and move by keys. */
export function StageView({ state, pyramid, onView }: Props): VNode {
  const photo = useRef<HTMLDivElement>(null);
  const outlines = useRef<HTMLCanvasElement>(null);
  const live = useRef<HTMLCanvasElement>(null);
  const [view, setView] = useState<SlideView | null>(null);
  const [waits, setWaits] = useState(true);
  useEffect(() => {
    if (photo.current === null || outlines.current === null || live.current === null) return undefined;
    const parts = { photo: photo.current, outlines: outlines.current, live: live.current };
    const made = new SlideView(parts, tilesOf(pyramid), state, () => {
      setWaits(false);
    });
    setView(made);
    onView(made);
    return () => {
      onView(null);
      made.close();
    };
  }, [state, pyramid]);
  return (
    <div
      class="stage-view"
      role="application"
      tabIndex={0}
      aria-label={say('slide.photo', { name: state.name })}
      aria-describedby="slide-keys"
      onKeyDown={(event) => {
        if (view !== null && pressedOnPhoto(event, view, state)) event.preventDefault();
      }}
    >
      {waits && <img class="preview" src={pyramid.preview} alt="" />}
      <div ref={photo} class="photo" />
      <canvas ref={outlines} class="outlines" />
      <canvas ref={live} class="live" />
      <ToolWords state={state} />
      {view !== null && <ScaleBar view={view} umPerPx={state.count.value?.scale.umPerPx ?? null} />}
      <p id="slide-keys" class="unseen">
        {say('slide.photo-keys')}
      </p>
    </div>
  );
}
