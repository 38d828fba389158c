import type { FeedDay } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { announce } from '../state/announce.js';
import { mayCount } from '../state/session.js';
import { volumeWords } from '../words/amounts.js';
import { clockTime, deviceZone } from '../words/dates.js';
import { say } from '../words/say.js';

type Dose = FeedDay['tanks'][number]['doses'][number];

interface Props {
  readonly dose: Dose;
  readonly tank: { readonly id: string; readonly name: string };
  readonly day: string;
  readonly onChanged: () => void;
}

const LITRE_ML = 1000;

const failed = (error: unknown): void => {
  announce(error instanceof Error ? error.message : String(error), 'trouble');
};

/** Sends one thing at a time; a second press meanwhile does nothing. */
function useSending(onChanged: () => void): readonly [boolean, (work: () => Promise<unknown>) => void] {
  const [sending, setSending] = useState(false);
  const send = (work: () => Promise<unknown>): void => {
    if (sending) return;
    setSending(true);
    work()
      .then(onChanged, failed)
      .finally(() => {
        setSending(false);
      });
  };
  return [sending, send];
}

/** What one tank gets of one culture: how much, and a tick once it was given. */
export function DoseCell({ dose: { culture, litres, askedLitres, given }, tank, day, onChanged }: Props): VNode {
  const [sending, send] = useSending(onChanged);
  const wanted = litres === null ? null : volumeWords(litres * LITRE_ML);
  const short = litres !== null && askedLitres !== null && litres < askedLitres * (1 - 1e-9);
  const tick = (): void => {
    if (litres === null) return;
    const body = { day, zone: deviceZone(), tank: tank.id, culture: culture.id, litres: Number(litres.toPrecision(3)) };
    send(() => ask<'giveFeed'>('post', '/feed/given', { body }));
  };
  return (
    <div class="dose">
      {wanted !== null && <strong>{wanted}</strong>}
      {short && <span class="small">{say('feed.of-asked', { asked: volumeWords(askedLitres * LITRE_ML) })}</span>}
      {given.map((one) => (
        <span key={one.id} class="given">
          <span class="chip done">✓ {volumeWords(one.litres * LITRE_ML)}</span>{' '}
          <span class="small">{say('feed.given-by', { by: one.by, at: clockTime(one.at) })}</span>{' '}
          {mayCount.value && (
            <span class="not-printed">
              <Button
                look="quiet"
                label={say('feed.take-back-of', { tank: tank.name, culture: culture.name })}
                disabled={sending}
                onClick={() => {
                  const at = { kind: 'ration', entry: one.id };
                  const body = { version: one.version, why: say('feed.slip') };
                  send(() => ask<'takeBackEntry'>('post', '/entries/{kind}/{entry}/take-back', { at, body }));
                }}
              >
                {say('feed.take-back')}
              </Button>
            </span>
          )}
        </span>
      ))}
      {given.length === 0 && litres !== null && litres > 0 && (
        <>
          {mayCount.value && (
            <span class="not-printed">
              <Button
                label={say('feed.give-of', { tank: tank.name, culture: culture.name })}
                disabled={sending}
                onClick={tick}
              >
                {say('feed.give')}
              </Button>
            </span>
          )}
          <span class="only-printed" aria-hidden="true">
            ☐
          </span>
        </>
      )}
    </div>
  );
}
