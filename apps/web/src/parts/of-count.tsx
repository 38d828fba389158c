import { useEffect, useState } from 'preact/hooks';
import type { ComponentChild, VNode } from 'preact';
import { PhotosScreen } from '../counts/photos-screen.js';
import { LengthsScreen } from '../lengths/lengths-screen.js';
import { PrintScreen } from '../print/print-screen.js';
import { RowsScreen } from '../rows/rows-screen.js';
import { SignOffScreen } from '../signoff/sign-off-screen.js';
import { SlideScreen } from '../slide/slide-screen.js';
import type { PlaceOfCount } from '../state/address.js';
import { OpenSample } from '../state/open-sample.js';
import { say } from '../words/say.js';
import { ConflictDialog } from './conflict-dialog.js';
import { Content } from './frame.js';
import { Steps } from './steps.js';

function useOpen(id: string): OpenSample {
  const [open, setOpen] = useState(() => new OpenSample(id));
  useEffect(() => {
    const opened = open.id === id ? open : new OpenSample(id);
    setOpen(opened);
    opened.open().catch((error: unknown) => {
      opened.trouble.value = error instanceof Error ? error.message : String(error);
    });
    return () => {
      opened.close();
    };
  }, [id]);
  return open;
}

function screen(open: OpenSample, here: PlaceOfCount): ComponentChild {
  switch (here.screen) {
    case 'photos':
      return <PhotosScreen open={open} />;
    case 'slide':
      return <SlideScreen open={open} photoId={here.photo} larva={here.larva} />;
    case 'rows':
      return <RowsScreen open={open} show={here.show} />;
    case 'lengths':
      return <LengthsScreen open={open} show={here.show} />;
    case 'sign-off':
      return <SignOffScreen open={open} />;
    case 'print':
      return <PrintScreen open={open} />;
  }
}

/** Everything about one count: its steps, then the step that is open. */
export function OfCount({ here }: { readonly here: PlaceOfCount }): VNode {
  const open = useOpen(here.count);
  const trouble = open.trouble.value;
  return (
    <>
      <Steps open={open} here={here} />
      <Content>
        {trouble !== null ? (
          <p class="note bad" role="alert">
            {trouble}
          </p>
        ) : open.sample.value === null ? (
          <p class="sheet" role="status">
            {say('app.loading')}
          </p>
        ) : (
          screen(open, here)
        )}
      </Content>
      <ConflictDialog open={open} />
    </>
  );
}
