import type { AnswerOf, Sample } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { writeAddress } from '../state/address.js';
import { mayCount } from '../state/session.js';
import { dateTime } from '../words/numbers.js';
import { say } from '../words/say.js';

/** Where a count goes on: at its result once signed off, at the slide when there is something to check. */
function nextStepOf({ id, state, photos }: Sample): string {
  if (state === 'signed-off') return writeAddress({ screen: 'sign-off', count: id });
  if (photos.counted === 0 || photos.underWay > 0) return writeAddress({ screen: 'photos', count: id });
  return writeAddress({ screen: 'slide', count: id, photo: null, larva: null });
}

function photosWords({ photos, state }: Sample): string {
  const { all, counted, failed, underWay, lookedAt } = photos;
  if (all === 0 && state === 'signed-off') return say('detail.by-eye');
  const parts = [say('counts.photos', { n: all })];
  if (underWay > 0) parts.push(say('counts.under-way', { n: underWay }));
  if (failed > 0) parts.push(say('counts.failed', { n: failed }));
  if (counted > 0) parts.push(say('counts.looked-at', { n: lookedAt, of: counted }));
  return parts.join(', ');
}

function Row({ sample }: { readonly sample: Sample }): VNode {
  const signed = sample.state === 'signed-off';
  return (
    <li>
      <a class="sheet count" href={nextStepOf(sample)}>
        <strong>{sample.tankName}</strong>
        <span>{dateTime(sample.takenAt)}</span>
        <span class="soft">{sample.batchName ?? ''}</span>
        <span>{photosWords(sample)}</span>
        <span class={signed ? 'chip done' : 'chip open'}>{say(signed ? 'state.signed-off' : 'state.open')}</span>
      </a>
    </li>
  );
}

/** Counts shown at first, and more with each asking. */
const AT_ONCE = 50;

type Listed = AnswerOf<'listSamples'>;

/** The latest counts, some at a time. */
async function listed(most: number): Promise<Listed> {
  let answer: Listed = { samples: [], all: most };
  while (answer.samples.length < Math.min(most, answer.all)) {
    const query = { most: AT_ONCE, skip: answer.samples.length };
    const next = await ask<'listSamples'>('get', '/samples', { query });
    answer = { samples: [...answer.samples, ...next.samples], all: next.all };
    if (next.samples.length === 0) break;
  }
  return answer;
}

/** Counts, latest first, and the way to a new one. */
export function CountsScreen(): VNode {
  const [most, setMost] = useState(AT_ONCE);
  const { value, trouble } = useAnswer(() => listed(most), [most]);
  return (
    <div class="stack page">
      <div class="side-by-side spread">
        <h1>{say('counts.title')}</h1>
        {mayCount.value && (
          <div class="side-by-side">
            <a class="button" href={writeAddress({ screen: 'by-eye' })}>
              {say('eye.title')}
            </a>
            <a class="button main" href={writeAddress({ screen: 'begin' })}>
              {say('counts.begin')}
            </a>
          </div>
        )}
      </div>
      <Trouble text={trouble} />
      {value?.samples.length === 0 && <p class="sheet">{say('counts.none')}</p>}
      <ul class="plain-list">
        {value?.samples.map((sample) => (
          <Row key={sample.id} sample={sample} />
        ))}
      </ul>
      {value !== null && value.samples.length < value.all && (
        <p>
          <Button
            onClick={() => {
              setMost(most + AT_ONCE);
            }}
          >
            {say('counts.older', { n: value.all - value.samples.length })}
          </Button>
        </p>
      )}
    </div>
  );
}
