import type { BatchSeason, Happening } from '@veligrid/api';
import type { VNode } from 'preact';
import { Button } from '../parts/button.js';
import { ScrollX } from '../parts/scroll-x.js';
import { writeAddress } from '../state/address.js';
import { limitsWords } from '../words/limits.js';
import { shortMoment } from '../words/dates.js';
import { threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';
import type { OpenEntry } from './entry-dialog.js';
import { happeningWords } from './entry-names.js';

export type Balance = BatchSeason['balance'];

interface Props {
  readonly balance: Balance;
  /** To name the moves that a line is added up from. */
  readonly timeline: readonly Happening[];
  /** Left out on paper. */
  readonly onOpen?: (entry: OpenEntry) => void;
}

/** The moves behind a number, each opening its entry. */
export function Moves({
  moves,
  timeline,
  onOpen,
}: Omit<Props, 'balance'> & { readonly moves: readonly string[] }): VNode {
  const found = moves.flatMap((id) => {
    const of = timeline.find(({ entries }) => entries.some((entry) => entry.id === id));
    return of === undefined ? [] : [{ id, of }];
  });
  if (onOpen === undefined) return <>{found.map(({ of }) => shortMoment(of.at)).join('; ')}</>;
  return (
    <>
      {found.map(({ id, of }) => (
        <Button
          key={id}
          look="quiet"
          label={say('timeline.open-entry', { when: shortMoment(of.at), what: happeningWords(of) })}
          onClick={() => {
            onOpen({ kind: 'move', id, of });
          }}
        >
          {shortMoment(of.at)}
        </Button>
      ))}
    </>
  );
}

/** What the unexplained says, as a sign with words. */
function Verdict({ verdict }: Pick<Balance, 'verdict'>): VNode {
  const look = verdict === 'no-measurable-loss' ? 'done' : verdict === 'more-than-came-in' ? 'bad' : 'open';
  return (
    <>
      <span class={`chip ${look}`}>{say(`verdict.${verdict}`)}</span>
      {verdict === 'more-than-came-in' && ` ${say('verdict.why.more-than-came-in')}`}
    </>
  );
}

/** Lines of the ledger with what each rests on. */
function BalanceTable({ balance, ...rest }: Props): VNode {
  const { lines, alive, counts, unexplained, verdict, present, since } = balance;
  return (
    <table class="leads">
      <thead>
        <tr>
          <th scope="col">{say('balance.line')}</th>
          <th scope="col" class="number">
            {say('balance.animals')}
          </th>
          <th scope="col">{say('balance.rests-on')}</th>
        </tr>
      </thead>
      <tbody>
        {lines.map(({ line, animals, moves }) => (
          <tr key={line}>
            <th scope="row">{say(`balance.${line}`)}</th>
            <td class="number">{limitsWords(animals, threeFigures)}</td>
            <td>
              <Moves moves={moves} {...rest} />
            </td>
          </tr>
        ))}
        <tr>
          <th scope="row">{say('balance.alive')}</th>
          <td class="number">{alive === null ? '–' : limitsWords(alive, threeFigures)}</td>
          <td>
            {counts.map(({ sample, tank }) => (
              <a key={sample.id} class="button quiet" href={writeAddress({ screen: 'sign-off', count: sample.id })}>
                {say('chart.tank', { tank: tank.name })}
              </a>
            ))}
          </td>
        </tr>
        <tr class="unexplained">
          <th scope="row">{say('balance.unexplained')}</th>
          <td class="number">
            <strong>{unexplained === null ? '–' : limitsWords(unexplained, threeFigures)}</strong>
          </td>
          <td>
            <Verdict verdict={verdict} />
          </td>
        </tr>
        <tr>
          <th scope="row">{say('balance.present')}</th>
          <td class="number">{limitsWords(present, threeFigures)}</td>
          <td class="small">{since > 0 && say('balance.since', { n: since })}</td>
        </tr>
      </tbody>
    </table>
  );
}

/** The balance sheet with what nobody can explain. */
export const BalanceSection = (props: Props): VNode => (
  <section class="sheet stack">
    <h2>{say('balance.title')}</h2>
    {props.onOpen === undefined ? (
      <BalanceTable {...props} />
    ) : (
      <ScrollX label={say('balance.title')}>
        <BalanceTable {...props} />
      </ScrollX>
    )}
    <p class="small soft">{say('balance.how')}</p>
  </section>
);
