import type { Audit, Photo } from '@veligrid/api';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { TextField } from '../parts/field.js';
import { drawCrop } from '../parts/crop.js';
import { pyramidOf } from '../parts/pyramids.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { boxOf, type Box } from '../slide/shapes.js';
import { announce } from '../state/announce.js';
import { mayCount } from '../state/session.js';
import { readNumber } from '../words/numbers.js';
import { say } from '../words/say.js';

type Square = Audit['squares'][number];

const SIDE = 900;
/** Room round the square, so that what crosses its lines can be judged. */
const ROOM = 1.12;

function boxAround({ cornersPx }: Square): Box {
  const { minX, minY, maxX, maxY } = boxOf(cornersPx);
  const half = (ROOM * Math.max(maxX - minX, maxY - minY)) / 2;
  const [x, y] = [(minX + maxX) / 2, (minY + maxY) / 2];
  return { minX: x - half, minY: y - half, maxX: x + half, maxY: y + half };
}

/** The square without any outline: outlines lead the eye. Only its own border is drawn. */
function SquarePicture({ photo, square }: { readonly photo: string; readonly square: Square }): VNode {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const element = canvas.current;
    if (element === null) return;
    const box = boxAround(square);
    void pyramidOf(photo)
      .then((tiles) => drawCrop(element, tiles, box))
      .then(() => {
        drawBorder(element, square, box);
      });
  }, [photo, square.name]);
  return (
    <canvas
      ref={canvas}
      width={SIDE}
      height={SIDE}
      class="square-picture"
      role="img"
      aria-label={say('audit.picture', { name: square.name })}
    />
  );
}

function drawBorder(canvas: HTMLCanvasElement, { cornersPx }: Square, box: Box): void {
  const pen = canvas.getContext('2d');
  if (pen === null) return;
  const scale = canvas.width / (box.maxX - box.minX);
  pen.beginPath();
  for (const [x, y] of cornersPx) pen.lineTo((x + 0.5 - box.minX) * scale, (y + 0.5 - box.minY) * scale);
  pen.closePath();
  pen.lineWidth = 3;
  pen.strokeStyle = '#7b3294';
  pen.stroke();
}

interface TallyProps {
  readonly photo: Photo;
  readonly square: Square;
  readonly onStored: (audit: Audit) => void;
}

function Tally({ photo, square, onStored }: TallyProps): VNode {
  const [text, setText] = useState('');
  const animals = readNumber(text);
  const good = animals !== null && Number.isInteger(animals) && animals >= 0;
  const store = (): void => {
    if (!good) return;
    ask<'tallySquare'>('put', '/photos/{photo}/audit/{square}', {
      at: { photo: photo.id, square: square.name },
      body: { animals },
    }).then(onStored, (error: unknown) => {
      announce(error instanceof Error ? error.message : String(error), 'trouble');
    });
  };
  return (
    <form
      class="columns"
      onSubmit={(event) => {
        event.preventDefault();
        store();
      }}
    >
      <SquarePicture photo={photo.id} square={square} />
      <div class="stack">
        <h3>{say('audit.square', { name: square.name })}</h3>
        <p>{say('audit.how')}</p>
        <TextField label={say('audit.seen')} digits value={text} onInput={setText} />
        <p>
          <button type="submit" class="button main" disabled={!good}>
            {say('audit.store')}
          </button>
        </p>
      </div>
    </form>
  );
}

/** What was seen by eye so far. */
function Tallied({ done }: { readonly done: readonly Square[] }): VNode {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{say('fact.square')}</th>
          <th scope="col" class="number">
            {say('audit.seen')}
          </th>
          <th scope="col">{say('audit.by')}</th>
        </tr>
      </thead>
      <tbody>
        {done.map(({ name, tally }) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td class="number">{tally?.animals}</td>
            <td>{tally?.by}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Squares of one photo that the tool drew, to be tallied by eye before the outlines are shown. */
export function AuditOfPhoto({
  photo,
  onTallied,
}: {
  readonly photo: Photo;
  readonly onTallied: () => void;
}): VNode | null {
  const asked = useAnswer(
    () => ask<'getAudit'>('get', '/photos/{photo}/audit', { at: { photo: photo.id } }),
    [photo.id],
  );
  const [newer, setNewer] = useState<Audit | null>(null);
  const audit = newer ?? asked.value;
  if (asked.trouble !== null) return <Trouble text={asked.trouble} />;
  if (audit === null || audit.squares.length === 0) return null;
  const next = audit.squares.find(({ blind, tally }) => blind && tally === null);
  const done = audit.squares.filter(({ tally }) => tally !== null);
  const blind = audit.squares.filter((square) => square.blind).length;
  return (
    <details class="sheet">
      <summary>
        {say('audit.title', { name: photo.name })}{' '}
        <span class={next === undefined ? 'chip done' : 'chip open'}>
          {say('audit.done', { n: done.length, of: blind })}
        </span>
      </summary>
      {next !== undefined && mayCount.value && (
        <Tally
          key={next.name}
          photo={photo}
          square={next}
          onStored={(stored) => {
            setNewer(stored);
            onTallied();
          }}
        />
      )}
      {done.length > 0 && <Tallied done={done} />}
    </details>
  );
}
