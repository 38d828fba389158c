import type { Plan } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { MoveForm } from '../entries/move-form.js';
import { Button } from '../parts/button.js';
import { writeAddress } from '../state/address.js';
import { mayCount } from '../state/session.js';
import { say } from '../words/say.js';
import { recordOffers, type RecordOffer } from './record-offers.js';

function Offer({ plan, offer }: { readonly plan: Plan; readonly offer: RecordOffer }): VNode {
  const [open, setOpen] = useState(false);
  const [kept, setKept] = useState(false);
  const stocks = offer.kinds.length === 1 && offer.kinds[0] === 'stock';
  if (kept) return <p class="note good">{say('offer.kept', { what: offer.title })}</p>;
  return (
    <div class="stack">
      <p>
        <Button
          pressed={open}
          onClick={() => {
            setOpen(!open);
          }}
        >
          {offer.title}
        </Button>
      </p>
      {open && (
        <MoveForm
          tank={stocks ? null : plan.tank}
          batch={null}
          kinds={offer.kinds}
          start={offer.start}
          onKept={() => {
            setKept(true);
          }}
        />
      )}
    </div>
  );
}

/** Moves that follow from a plan, to be recorded once they are done. */
export function RecordAfter({ plan }: { readonly plan: Plan }): VNode | null {
  const offers = recordOffers(plan);
  const feeds = plan.kind === 'ration';
  if (!mayCount.value || (offers.length === 0 && !feeds)) return null;
  return (
    <section class="sheet stack not-printed">
      <h2>{say('offer.title')}</h2>
      <p class="soft">{say('offer.how')}</p>
      {feeds && (
        <p>
          <a class="button" href={writeAddress({ screen: 'feed', day: null })}>
            {say('offer.feed')}
          </a>
        </p>
      )}
      {offers.map((offer) => (
        <Offer key={offer.title} plan={plan} offer={offer} />
      ))}
    </section>
  );
}
