import type { Stage } from '@veligrid/model';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { Button } from '../parts/button.js';
import { Choice, Tick } from '../parts/field.js';
import { StageSign } from '../parts/stage-sign.js';
import { StageChoice } from '../slide/stage-choice.js';
import { writeAddress } from '../state/address.js';
import { actOf } from '../state/keys.js';
import { allLarvae, isLarva, passes, readFilter, type Filter, type Larva } from '../state/larvae.js';
import type { OpenSample } from '../state/open-sample.js';
import { settings } from '../state/settings.js';
import { say } from '../words/say.js';
import { LarvaCrop } from './larva-crop.js';
import { lanesOf, LAYOUTS, type Lane, type Layout } from './lanes.js';
import { relabelAll, removeAll, rightAsTheyAre } from './many-acts.js';
import { keyed, NOTHING, pressed, type Manner, type Selection } from './selection.js';

interface Props {
  readonly open: OpenSample;
  /** Which larvae, as the address says. */
  readonly show: string | null;
}

/** Crops of a column shown before "more" is asked for. */
const FIRST = 30;

function headWords({ head, larvae }: Lane): string {
  const n = larvae.length;
  switch (head.kind) {
    case 'length':
      return `${head.fromUm}–${head.toUm} µm`;
    case 'stage':
      return say(`stage.${head.stage}`);
    case 'look':
      return say(head.needs ? 'look.needs' : 'rows.no-look', { n });
    case 'no-length':
      return say('rows.no-length');
  }
}

interface LaneProps {
  readonly lane: Lane;
  readonly selection: Selection;
  readonly onPress: (key: string, event: MouseEvent) => void;
}

function LaneColumn({ lane, selection, onPress }: LaneProps): VNode {
  const [more, setMore] = useState(false);
  const shown = more ? lane.larvae : lane.larvae.slice(0, FIRST);
  return (
    <li class="lane" role="group" aria-label={`${headWords(lane)}, ${lane.larvae.length}`}>
      <div class="lane-head">
        {lane.head.kind === 'stage' && <StageSign stage={lane.head.stage} />}
        <strong>{headWords(lane)}</strong>
        <span class="soft">{lane.larvae.length}</span>
      </div>
      <ul role="presentation">
        {shown.map((larva) => (
          <LarvaCrop
            key={larva.key}
            larva={larva}
            selected={selection.keys.has(larva.key)}
            focused={selection.focus === larva.key}
            onPress={(event) => {
              onPress(larva.key, event);
            }}
          />
        ))}
      </ul>
      {shown.length < lane.larvae.length && (
        <Button
          onClick={() => {
            setMore(true);
          }}
        >
          {say('rows.more', { n: lane.larvae.length - shown.length })}
        </Button>
      )}
    </li>
  );
}

function filterWords(filter: Filter): string {
  if (filter.kind === 'length') return `${filter.fromUm}–${filter.toUm} µm`;
  return filter.kind === 'stage' ? say(`stage.${filter.stage as Stage}`) : '';
}

/** What is done to the selected larvae, in one go. */
function Together({ open, chosen }: { readonly open: OpenSample; readonly chosen: readonly Larva[] }): VNode {
  const [first] = chosen;
  if (first === undefined) return <p class="soft">{say('rows.how')}</p>;
  const same = chosen.every(({ object }) => object.stage === first.object.stage);
  return (
    <>
      <h2 aria-live="polite">{say('rows.selected', { n: chosen.length })}</h2>
      <div class="side-by-side">
        <Button
          look="main"
          onClick={() => {
            rightAsTheyAre(open, chosen);
          }}
        >
          {say(chosen.length === 1 ? 'larva.right' : 'rows.right')}
        </Button>
        <Button
          look="stern"
          onClick={() => {
            removeAll(open, chosen);
          }}
        >
          {say('larva.remove')}
        </Button>
      </div>
      {chosen.length === 1 && (
        <a
          class="button"
          href={writeAddress({ screen: 'slide', count: open.id, photo: first.photo, larva: first.object.id })}
        >
          {say('rows.on-slide')}
        </a>
      )}
      <StageChoice
        now={same ? first.object.stage : null}
        onChoose={(stage) => {
          relabelAll(open, chosen, stage);
        }}
      />
    </>
  );
}

/** Larvae cut out of their photos, below a ruler of lengths or under their stage. */
export function RowsScreen({ open, show }: Props): VNode {
  const [layout, setLayout] = useState<Layout>('length');
  const [others, setOthers] = useState(false);
  const [several, setSeveral] = useState<Manner>('one');
  const [selection, setSelection] = useState<Selection>(NOTHING);
  const reviewed = open.reviewed.value;
  const filter = readFilter(show);
  const larvae = useMemo(
    () => allLarvae(reviewed).filter((larva) => (others || isLarva(larva)) && passes(larva, filter)),
    [reviewed, others, show],
  );
  const lanes = useMemo(() => lanesOf(larvae, layout), [larvae, layout]);
  const chosen = larvae.filter(({ key }) => selection.keys.has(key));
  useStageKeys(open, chosen);
  return (
    <div class="rows">
      <div class="stack">
        <div class="bar">
          <h1>{say('rows.title')}</h1>
          <Choice
            label={say('rows.by')}
            value={layout}
            options={LAYOUTS.map((value) => ({ value, label: say(`rows.by-${value}`) }))}
            onChange={setLayout}
          />
          <Choice
            label={say('rows.tap')}
            value={several}
            options={(['one', 'more', 'range'] as const).map((value) => ({ value, label: say(`rows.tap-${value}`) }))}
            onChange={setSeveral}
          />
          <Tick label={say('rows.others')} value={others} onChange={setOthers} />
          <p class="soft">
            <b class="look-mark">!</b> {say('look.needs')}
          </p>
          {filter.kind !== 'all' && (
            <a class="button" href={writeAddress({ screen: 'rows', count: open.id, show: null })}>
              {say('rows.only', { what: filterWords(filter) })} ×
            </a>
          )}
        </div>
        <Lanes lanes={lanes} selection={selection} manner={several} onSelect={setSelection} />
      </div>
      <section class="sheet card" aria-label={say('rows.together')}>
        <Together open={open} chosen={chosen} />
      </section>
    </div>
  );
}

/** Keys of stages work on what is selected here too. */
function useStageKeys(open: OpenSample, chosen: readonly Larva[]): void {
  const now = useRef(chosen);
  now.current = chosen;
  useEffect(() => {
    const down = (event: KeyboardEvent): void => {
      const typing = event.target instanceof HTMLElement && event.target.matches('input, select, textarea');
      const { keys, letters } = settings.value;
      const act = typing ? null : actOf(event, keys, letters);
      if (act === 'undo') open.decisions.undo();
      else if (act === 'redo') open.decisions.redo();
      else if (act === 'right-as-is') rightAsTheyAre(open, now.current);
      else if (act === 'remove') removeAll(open, now.current);
      else if (act?.startsWith('stage:') === true) relabelAll(open, now.current, act.slice(6) as Stage);
      else return;
      event.preventDefault();
    };
    addEventListener('keydown', down);
    return () => {
      removeEventListener('keydown', down);
    };
  }, [open]);
}

interface LanesProps {
  readonly lanes: readonly Lane[];
  readonly selection: Selection;
  readonly manner: Manner;
  readonly onSelect: (selection: Selection) => void;
}

function Lanes({ lanes, selection, manner, onSelect }: LanesProps): VNode {
  const list = useRef<HTMLUListElement>(null);
  const { focus } = selection;
  const active = focus === null ? undefined : `crop-${focus.replace(' ', '-')}`;
  useEffect(() => {
    if (active !== undefined) document.getElementById(active)?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
  }, [active]);
  if (lanes.length === 0) return <p class="sheet">{say('rows.none')}</p>;
  return (
    <ul
      ref={list}
      class="lanes"
      role="listbox"
      tabIndex={0}
      aria-multiselectable="true"
      aria-label={say('rows.title')}
      aria-activedescendant={active}
      onKeyDown={(event) => {
        const next = keyed(selection, lanes, event);
        if (next === null) return;
        event.preventDefault();
        onSelect(next);
      }}
    >
      {lanes.map((lane) => (
        <LaneColumn
          key={lane.key}
          lane={lane}
          selection={selection}
          onPress={(key, event) => {
            const by = event.shiftKey ? 'range' : event.ctrlKey || event.metaKey ? 'more' : manner;
            onSelect(pressed(selection, lanes, key, by));
          }}
        />
      ))}
    </ul>
  );
}
