import type { Photo, Pyramid } from '@veligrid/api';
import { effect } from '@preact/signals';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { addressOf, ask } from '../api/ask.js';
import type { OpenSample } from '../state/open-sample.js';
import { stayAt } from '../state/place.js';
import { say } from '../words/say.js';
import { LarvaCard } from './larva-card.js';
import { PhotoChoice } from './photo-choice.js';
import { listenForKeys, type Hands } from './slide-keys.js';
import { SlideState } from './slide-state.js';
import type { SlideView } from './slide-view.js';
import { StageView } from './stage-view.js';
import { SightBar, ToolBar } from './tool-bar.js';

interface Props {
  readonly open: OpenSample;
  readonly photoId: string | null;
  readonly larva: string | null;
}

/** The first photo that was counted and nobody has looked at; else the first counted. */
const photoToBegin = (photos: readonly Photo[]): Photo | undefined =>
  photos.find(({ state, lookedAt }) => state === 'counted' && lookedAt === null) ??
  photos.find(({ state }) => state === 'counted');

/** Checks one photo: what was found over the picture, the selected larva beside it. */
export function SlideScreen({ open, photoId, larva }: Props): VNode {
  const photos = open.photos.value;
  const id = photoId ?? photoToBegin(photos)?.id;
  const photo = photos.find((one) => one.id === id);
  if (photo === undefined) return <p class="sheet">{say('slide.no-photo')}</p>;
  if (photo.state !== 'counted') {
    return (
      <div class="sheet stack">
        <PhotoChoice open={open} photoId={photo.id} />
        <p>{photo.why ?? say('slide.not-counted-yet')}</p>
      </div>
    );
  }
  return <OnePhoto key={photo.id} open={open} photo={photo} larva={larva} />;
}

function usePyramid(photo: string): Pyramid | null {
  const [pyramid, setPyramid] = useState<Pyramid | null>(null);
  useEffect(() => {
    void ask<'getPyramid'>('get', '/photos/{photo}/pyramid', { at: { photo } }).then(setPyramid);
  }, [photo]);
  return pyramid;
}

/** The small picture, until it is known how the large one is cut. */
function Waiting({ photo: { hash, page } }: { readonly photo: Photo }): VNode {
  const preview = addressOf('/pictures/{hash}/{page}/preview.jpg', { hash, page: String(page) });
  return (
    <div class="stage-view">
      <img class="preview" src={preview} alt="" />
    </div>
  );
}

function OnePhoto({ open, photo, larva }: { open: OpenSample; photo: Photo; larva: string | null }): VNode {
  const state = useMemo(() => new SlideState(open, photo.id, larva), [open, photo.id]);
  const pyramid = usePyramid(photo.id);
  const [view, setView] = useState<SlideView | null>(null);
  const hands = useRef<Hands>({ state, view });
  hands.current = { state, view };
  useEffect(() => listenForKeys(() => hands.current), []);
  useEffect(() => {
    if (larva !== null) state.selectedId.value = larva;
  }, [larva, state]);
  useEffect(
    () =>
      effect(() => {
        stayAt({ screen: 'slide', count: open.id, photo: photo.id, larva: state.selectedId.value });
      }),
    [state],
  );
  return (
    <div class="bench">
      <div class="tray">
        <div class="bar spread">
          <PhotoChoice open={open} photoId={photo.id} />
          <ToolBar state={state} view={view} />
        </div>
        {pyramid === null ? <Waiting photo={photo} /> : <StageView state={state} pyramid={pyramid} onView={setView} />}
        <SightBar state={state} view={view} />
      </div>
      <LarvaCard state={state} />
    </div>
  );
}
