import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { EntryDialog } from '../batches/entry-dialog.js';
import { Button } from '../parts/button.js';
import { say } from '../words/say.js';

interface Props {
  readonly kind: string;
  readonly id: string;
  /** When it happened. */
  readonly at: string;
  /** What it is about, for those who don't see the row. */
  readonly of: string;
  /** Words on it; default: look at it. */
  readonly words?: string;
  readonly onChanged: () => void;
}

/** What was said of an entry, to be corrected or taken back. */
export function CorrectButton({ kind, id, at, of, words, onChanged }: Props): VNode {
  const [open, setOpen] = useState(false);
  return (
    <span class="not-printed">
      <Button
        look="quiet"
        label={say('entry.look-at', { of })}
        onClick={() => {
          setOpen(true);
        }}
      >
        {words ?? say('entry.look')}
      </Button>
      {open && (
        <EntryDialog
          entry={{ kind, id, of: { kind, at } }}
          onClose={() => {
            setOpen(false);
          }}
          onChanged={onChanged}
        />
      )}
    </span>
  );
}
