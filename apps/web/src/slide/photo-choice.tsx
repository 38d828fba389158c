import type { VNode } from 'preact';
import { Button } from '../parts/button.js';
import { needingLook } from '../state/needs-look.js';
import type { OpenSample } from '../state/open-sample.js';
import { goTo } from '../state/place.js';
import { say } from '../words/say.js';

/** Which photo is open, with how many in each need a look, and the way to the one beside it. */
export function PhotoChoice({ open, photoId }: { readonly open: OpenSample; readonly photoId: string }): VNode {
  const photos = open.photos.value;
  const at = photos.findIndex(({ id }) => id === photoId);
  const go = (id: string | undefined): void => {
    if (id !== undefined) goTo({ screen: 'slide', count: open.id, photo: id, larva: null });
  };
  const label = (id: string, name: string): string => {
    const reviewed = open.reviewed.value.get(id);
    const look = reviewed === undefined ? 0 : needingLook(reviewed).length;
    return look === 0 ? name : `${name} · ${say('look.left', { n: look })}`;
  };
  return (
    <div class="side-by-side photo-choice">
      <label class="unseen" for="photo-choice">
        {say('slide.which')}
      </label>
      <select
        id="photo-choice"
        value={photoId}
        onChange={({ currentTarget }) => {
          go(currentTarget.value);
        }}
      >
        {photos.map(({ id, name }) => (
          <option key={id} value={id}>
            {label(id, name)}
          </option>
        ))}
      </select>
      {photos.length > 1 && (
        <Button
          disabled={at + 1 >= photos.length}
          onClick={() => {
            go(photos[at + 1]?.id);
          }}
        >
          {say('slide.next-photo')}
        </Button>
      )}
    </div>
  );
}
