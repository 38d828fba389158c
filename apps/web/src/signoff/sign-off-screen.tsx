import type { Photo, Proposal, Result } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { TextField } from '../parts/field.js';
import { ScrollX } from '../parts/scroll-x.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { Warnings } from '../parts/warnings.js';
import { writeAddress } from '../state/address.js';
import { announce } from '../state/announce.js';
import { needingLook } from '../state/needs-look.js';
import type { OpenSample } from '../state/open-sample.js';
import { mayCount } from '../state/session.js';
import { threeFigures } from '../words/numbers.js';
import { toldWords } from '../words/read-back.js';
import { say } from '../words/say.js';
import { AuditOfPhoto } from './audit-of-photo.js';
import { ResultSheet } from './result-sheet.js';

interface Props {
  readonly open: OpenSample;
}

function failed(error: unknown): void {
  announce(error instanceof Error ? error.message : String(error), 'trouble');
}

/** One photo on the way to being signed off. */
function PhotoRow({ open, photo }: Props & { readonly photo: Photo }): VNode {
  const reviewed = open.reviewed.value.get(photo.id);
  const left = reviewed === undefined ? 0 : needingLook(reviewed).length;
  const waiting = open.decisions.waiting.value > 0;
  const sign = (): void => {
    ask<'signPhotoOff'>('put', '/photos/{photo}/looked-at', {
      at: { photo: photo.id },
      body: { order: open.decisions.order },
    }).then((answer) => {
      open.setPhoto(answer);
      announce(say('sign.photo-done', { name: photo.name }));
    }, failed);
  };
  return (
    <tr>
      <th scope="row">{photo.name}</th>
      <td>
        {left > 0 ? (
          <a href={writeAddress({ screen: 'slide', count: open.id, photo: photo.id, larva: null })}>
            {say('look.left', { n: left })}
          </a>
        ) : (
          say('look.none')
        )}
      </td>
      <td>
        <div class="side-by-side">
          <span class={photo.lookedAt === null ? 'chip open' : 'chip done'}>
            {photo.lookedAt === null ? say('state.not-looked-at') : say('sign.by', { by: photo.lookedAt.by })}
          </span>
          {photo.lookedAt === null && mayCount.value && (
            <Button onClick={sign} disabled={waiting || photo.state !== 'counted'}>
              {say('sign.photo')}
            </Button>
          )}
        </div>
      </td>
    </tr>
  );
}

function PhotoTable({ open }: Props): VNode {
  return (
    <section class="sheet stack">
      <h2>{say('sign.photos')}</h2>
      <ScrollX label={say('sign.photos')}>
        <table>
          <thead>
            <tr>
              <th scope="col">{say('sign.photo-name')}</th>
              <th scope="col">{say('sign.left')}</th>
              <th scope="col">{say('sign.state')}</th>
            </tr>
          </thead>
          <tbody>
            {open.photos.value
              .filter(({ state }) => state === 'counted')
              .map((photo) => (
                <PhotoRow key={photo.id} open={open} photo={photo} />
              ))}
          </tbody>
        </table>
      </ScrollX>
    </section>
  );
}

/** What the count would say: plain numbers, marked as nobody's. */
function ProposalSheet({ proposal }: { readonly proposal: Proposal }): VNode {
  const { animals, densityPerMl, total, why, warnings } = proposal;
  return (
    <section class="sheet stack proposal">
      <h2 class="side-by-side">
        {say('sign.proposal')} <span class="chip open">{say('state.open')}</span>
      </h2>
      <table>
        <tbody>
          <tr>
            <th scope="row">{say('sign.animals')}</th>
            <td class="number">{animals}</td>
          </tr>
          <tr>
            <th scope="row">{say('sign.density')}</th>
            <td class="number">{densityPerMl === null ? '–' : threeFigures(densityPerMl)}</td>
          </tr>
          <tr>
            <th scope="row">{say('sign.total')}</th>
            <td class="number">{total === null ? '–' : threeFigures(total)}</td>
          </tr>
        </tbody>
      </table>
      {why !== null && <p>{toldWords(why)}</p>}
      <Warnings warnings={warnings} small />
    </section>
  );
}

function SignBox({ open, proposal, onSigned }: Props & { proposal: Proposal; onSigned: () => void }): VNode {
  const [busy, setBusy] = useState(false);
  const waiting = open.decisions.waiting.value;
  const left = [...open.reviewed.value.values()].reduce((sum, photo) => sum + needingLook(photo).length, 0);
  const ready = proposal.missing.length === 0 && waiting === 0 && mayCount.value;
  const sign = (): void => {
    setBusy(true);
    ask<'signOff'>('post', '/samples/{sample}/sign-off', {
      at: { sample: open.id },
      body: { order: open.decisions.order },
    })
      .then(async () => {
        await open.reload();
        announce(say('sign.done'));
        onSigned();
      }, failed)
      .finally(() => {
        setBusy(false);
      });
  };
  return (
    <section class="sheet stack">
      <h2>{say('sign.count')}</h2>
      {proposal.missing.length > 0 && (
        <>
          <p>{say('sign.missing')}</p>
          <ul>
            {proposal.missing.map((what) => (
              <li key={what}>{toldWords(what)}</li>
            ))}
          </ul>
        </>
      )}
      {left > 0 && <p class="note">{say('sign.still-left', { n: left })}</p>}
      {waiting > 0 && <p class="note">{say('store.waiting', { n: waiting })}</p>}
      <p>{say('sign.means')}</p>
      <p>
        <Button look="main" disabled={!ready || busy} onClick={sign}>
          {say('sign.go')}
        </Button>
      </p>
    </section>
  );
}

/** Before signing off: photos, audit, proposal, and the button. */
function Before({ open, onSigned }: Props & { readonly onSigned: () => void }): VNode {
  const photos = open.photos.value;
  const looked = photos.map(({ lookedAt }) => lookedAt?.at ?? '').join();
  const proposal = useAnswer(
    () => ask<'getProposal'>('get', '/samples/{sample}/proposal', { at: { sample: open.id } }),
    [open.id, open.decisions.log.value.length, open.decisions.waiting.value, looked],
  );
  return (
    <>
      <Trouble text={proposal.trouble} />
      <div class="columns broad">
        <PhotoTable open={open} />
        {proposal.value !== null && <ProposalSheet proposal={proposal.value} />}
      </div>
      {photos
        .filter(({ state }) => state === 'counted')
        .map((photo) => (
          <AuditOfPhoto key={photo.id} photo={photo} onTallied={proposal.again} />
        ))}
      {proposal.value !== null && <SignBox open={open} proposal={proposal.value} onSigned={onSigned} />}
    </>
  );
}

/** Opens a signed-off count again; the result stays in the records. */
function Reopen({ open, onDone }: Props & { readonly onDone: () => void }): VNode {
  const [reason, setReason] = useState('');
  return (
    <details class="sheet">
      <summary>{say('reopen.title')}</summary>
      <form
        class="stack"
        onSubmit={(event) => {
          event.preventDefault();
          ask<'reopen'>('post', '/samples/{sample}/reopen', { at: { sample: open.id }, body: { reason } }).then(
            async () => {
              await open.reload();
              onDone();
            },
            failed,
          );
        }}
      >
        <p>{say('reopen.how')}</p>
        <TextField label={say('reopen.reason')} value={reason} onInput={setReason} required />
        <p>
          <button type="submit" class="button stern" disabled={reason.trim() === ''}>
            {say('reopen.go')}
          </button>
        </p>
      </form>
    </details>
  );
}

function Earlier({ results }: { readonly results: readonly Result[] }): VNode | null {
  if (results.length === 0) return null;
  return (
    <details class="sheet">
      <summary>{say('sign.earlier', { n: results.length })}</summary>
      {results.map((result) => (
        <ResultSheet key={result.id} result={result} />
      ))}
    </details>
  );
}

/** From photos looked at to the result that somebody stands for. */
export function SignOffScreen({ open }: Props): VNode {
  const signed = open.sample.value?.state === 'signed-off';
  const results = useAnswer(
    () => ask<'getResults'>('get', '/samples/{sample}/results', { at: { sample: open.id } }),
    [open.id, signed],
  );
  const all = results.value?.results ?? [];
  const standing = all.findLast(({ reopened }) => reopened === null);
  return (
    <div class="stack page">
      <h1>{say(signed ? 'sign.result' : 'sign.title')}</h1>
      <Trouble text={results.trouble} />
      {signed && standing !== undefined ? (
        <>
          <ResultSheet result={standing} count={open.id} />
          <Reopen open={open} onDone={results.again} />
        </>
      ) : (
        <Before open={open} onSigned={results.again} />
      )}
      <Earlier results={all.filter(({ reopened }) => reopened !== null)} />
    </div>
  );
}
