import type { Photo } from '@veligrid/api';
import { useRef, useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { addressOf, ask } from '../api/ask.js';
import { sendPhotos } from '../api/send-photos.js';
import { Button } from '../parts/button.js';
import { Choice } from '../parts/field.js';
import { Trouble } from '../parts/trouble.js';
import { writeAddress } from '../state/address.js';
import { announce } from '../state/announce.js';
import type { OpenSample } from '../state/open-sample.js';
import { mayCount } from '../state/session.js';
import { percent } from '../words/numbers.js';
import { say } from '../words/say.js';
import { warningWords } from '../words/warning-words.js';
import { CorrectSample } from './correct-sample.js';
import { fieldsLeft, IN_ORDER, shownFields } from './drawn-fields.js';
import { FieldsToPhotograph, WhichFields } from './fields-to-photograph.js';

interface Props {
  readonly open: OpenSample;
}

/** Files on their way to the server. */
interface Way {
  readonly files: number;
  readonly part: number;
}

const IMAGES = 'image/*,.tif,.tiff,.bmp,.heic';

/** Takes files in: on their way to the server, then counted there. */
function useSending(
  open: OpenSample,
  filling: string,
  fieldsOf: (files: readonly File[]) => readonly (string | null)[],
): { way: Way | null; refused: string[]; send: (files: File[]) => void } {
  const [way, setWay] = useState<Way | null>(null);
  const [refused, setRefused] = useState<string[]>([]);
  const send = (chosen: File[]): void => {
    if (chosen.length === 0) return;
    const files = chosen.toSorted((a, b) => a.name.localeCompare(b.name, undefined, { numeric: true }));
    setWay({ files: files.length, part: 0 });
    const onSent = (part: number): void => {
      setWay({ files: files.length, part });
    };
    sendPhotos(files, { sample: open.id, filling, fields: fieldsOf(files), onSent })
      .then((answer) => {
        for (const photo of answer.photos) open.setPhoto(photo);
        setRefused(answer.refused.map(({ file, why }) => `${file}: ${why}`));
        announce(say('photos.taken', { n: answer.photos.length }));
      })
      .catch((error: unknown) => {
        setRefused([error instanceof Error ? error.message : String(error)]);
      })
      .finally(() => {
        setWay(null);
      });
  };
  return { way, refused, send };
}

/** Where photos are dropped, chosen or taken. */
function Dropping({ open }: Props): VNode {
  const fillings = open.sample.value?.fillings ?? [];
  const [filling, setFilling] = useState('1');
  const left = fieldsLeft(open);
  const [shows, setShows] = useState(IN_ORDER);
  const { way, refused, send } = useSending(open, filling, (files) => shownFields(files.length, shows, left));
  const [over, setOver] = useState(false);
  return (
    <section
      class={over ? 'sheet stack dropping over' : 'sheet stack dropping'}
      aria-label={say('photos.add')}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => {
        setOver(false);
      }}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        send([...(event.dataTransfer?.files ?? [])]);
      }}
    >
      <p>
        <strong>{say('photos.drop')}</strong> <span class="soft">{say('photos.drop-hint')}</span>
      </p>
      {fillings.length > 1 && (
        <Choice
          label={say('photos.filling')}
          value={filling}
          options={fillings.map((_, i) => ({ value: String(i + 1), label: say('photos.filling-n', { name: i + 1 }) }))}
          onChange={setFilling}
        />
      )}
      {left.length > 0 && <WhichFields left={left} shows={shows} onChange={setShows} />}
      <div class="side-by-side">
        <FileButton label={say('photos.choose')} main onFiles={send} />
        <FileButton label={say('photos.camera')} camera onFiles={send} />
      </div>
      {way !== null && (
        <div role="status">
          <p>{say('photos.sending', { n: way.files, part: percent(way.part, 0) })}</p>
          <progress max={1} value={way.part} aria-label={say('photos.sending-label')} />
        </div>
      )}
      {refused.map((why) => (
        <Trouble key={why} text={why} />
      ))}
    </section>
  );
}

interface FileProps {
  readonly label: string;
  readonly onFiles: (files: File[]) => void;
  readonly main?: boolean;
  /** Opens the camera of a tablet or phone. */
  readonly camera?: boolean;
}

function FileButton({ label, onFiles, main = false, camera = false }: FileProps): VNode {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <Button look={main ? 'main' : 'plain'} onClick={() => input.current?.click()}>
        {label}
      </Button>
      <input
        ref={input}
        type="file"
        class="unseen"
        tabIndex={-1}
        aria-label={label}
        accept={IMAGES}
        multiple={!camera}
        capture={camera ? 'environment' : undefined}
        onChange={({ currentTarget }) => {
          onFiles([...(currentTarget.files ?? [])]);
          currentTarget.value = '';
        }}
      />
    </>
  );
}

function StateOfPhoto({ photo }: { readonly photo: Photo }): VNode {
  const { state, done, why, lookedAt, name } = photo;
  switch (state) {
    case 'waiting':
      return <span class="chip">{say('photo.waiting')}</span>;
    case 'counting':
      return (
        <>
          <progress max={1} value={done} aria-label={say('photo.progress', { name })} />
          <span class="small">{say('photo.counting', { part: percent(done, 0) })}</span>
        </>
      );
    case 'counted':
      return (
        <span class={lookedAt === null ? 'chip open' : 'chip done'}>
          {say(lookedAt === null ? 'state.not-looked-at' : 'state.looked-at')}
        </span>
      );
    case 'failed':
    case 'cancelled':
      return (
        <>
          <span class="chip bad">{say(`photo.${state}`)}</span>
          {why !== null && <p class="small">{why}</p>}
        </>
      );
  }
}

/** Asks the server to do something with a photo, and shows what came of it. */
function useActOnPhoto(open: OpenSample): (which: 'retry' | 'cancel', photo: string) => void {
  return (which, photo) => {
    const at = { at: { photo } };
    const asked =
      which === 'retry'
        ? ask<'retryPhoto'>('post', '/photos/{photo}/retry', at)
        : ask<'cancelPhoto'>('post', '/photos/{photo}/cancel', at);
    asked.then(
      (answer) => {
        open.setPhoto(answer);
      },
      (error: unknown) => {
        announce(error instanceof Error ? error.message : String(error), 'trouble');
      },
    );
  };
}

function PhotoTile({ open, photo }: Props & { readonly photo: Photo }): VNode {
  const act = useActOnPhoto(open);
  const preview = addressOf('/pictures/{hash}/{page}/preview.jpg', { hash: photo.hash, page: String(photo.page) });
  const counted = photo.state === 'counted';
  const stopped = photo.state === 'failed' || photo.state === 'cancelled';
  return (
    <li class="sheet photo-tile">
      {stopped ? <div class="no-picture" /> : <img src={preview} alt="" loading="lazy" />}
      <div class="stack">
        <strong class="name">{photo.name}</strong>
        {photo.field !== null && <span class="small">{say('fields.shows', { name: photo.field })}</span>}
        <StateOfPhoto photo={photo} />
        {photo.warnings.map((one) => (
          <p key={one.code} class="small soft">
            {warningWords(one)}
          </p>
        ))}
        {counted && (
          <a class="button" href={writeAddress({ screen: 'slide', count: open.id, photo: photo.id, larva: null })}>
            {say('photo.check')}
          </a>
        )}
        {stopped && mayCount.value && (
          <Button
            onClick={() => {
              act('retry', photo.id);
            }}
          >
            {say('photo.again')}
          </Button>
        )}
        {(photo.state === 'waiting' || photo.state === 'counting') && mayCount.value && (
          <Button
            look="quiet"
            onClick={() => {
              act('cancel', photo.id);
            }}
          >
            {say('photo.stop')}
          </Button>
        )}
      </div>
    </li>
  );
}

/** Photos of the count: add more, see how far each is. */
export function PhotosScreen({ open }: Props): VNode {
  const photos = open.photos.value;
  const signed = open.sample.value?.state === 'signed-off';
  return (
    <div class="stack page">
      <h1>{say('photos.title')}</h1>
      <FieldsToPhotograph open={open} />
      {!signed && mayCount.value && <Dropping open={open} />}
      <CorrectSample open={open} />
      <ul class="tiles" aria-label={say('photos.title')}>
        {photos.map((photo) => (
          <PhotoTile key={photo.id} open={open} photo={photo} />
        ))}
      </ul>
    </div>
  );
}
