import type { Detection, Stage } from '@veligrid/model';
import type { ReviewedObject } from '@veligrid/review';
import type { VNode } from 'preact';
import { reasonToLook } from '../state/needs-look.js';
import { decimals, percent } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';

interface Props {
  readonly object: ReviewedObject;
  /** As the program found it; undefined when it was drawn by hand. */
  readonly found: Detection | undefined;
}

const micrometres = (um: number | null): string => (um === null ? '–' : `${decimals(um, 1)} µm`);

/** Length with its standard uncertainty, as long as the outline is the program's own. */
function lengthOf({ lengthUm, decisions }: ReviewedObject, found: Detection | undefined): string {
  const spread = decisions.length === 0 ? (found?.lengthStandardUncertaintyUm ?? null) : null;
  return spread === null ? micrometres(lengthUm) : `${micrometres(lengthUm)} ± ${decimals(spread, 1)}`;
}

/** Measures of the selected larva. */
export function LarvaFacts({ object, found }: Props): VNode {
  const flags = found?.flags ?? [];
  return (
    <dl>
      <dt>{say('fact.length')}</dt>
      <dd>{lengthOf(object, found)}</dd>
      <dt>{say('fact.height')}</dt>
      <dd>{micrometres(object.heightUm)}</dd>
      {object.square !== null && (
        <>
          <dt>{say('fact.square')}</dt>
          <dd>{object.square}</dd>
        </>
      )}
      <dt>{say('fact.counted')}</dt>
      <dd>{say(countedWord(object, found))}</dd>
      {flags.length > 0 && (
        <>
          <dt>{say('fact.flags')}</dt>
          <dd>{flags.map((flag) => sayOr(`flag.${flag}`, flag)).join(', ')}</dd>
        </>
      )}
    </dl>
  );
}

function countedWord(object: ReviewedObject, found: Detection | undefined): 'fact.no' | 'fact.outside' | 'fact.yes' {
  if (!object.counted) return 'fact.no';
  return found !== undefined && !found.inArea ? 'fact.outside' : 'fact.yes';
}

const MOST_CHANCES = 4;

/** Likeliest stages, and why this one wants a look. */
export function WhyThisStage({ object, found }: Props): VNode {
  const reason = reasonToLook(object, found);
  const chances = Object.entries(found?.stageProbabilities ?? {})
    .sort(([, a], [, b]) => b - a)
    .slice(0, MOST_CHANCES) as [Stage, number][];
  return (
    <section class="stack">
      {reason !== null && <p class="note">{say(reason)}</p>}
      {object.decisions.length > 0 && <p class="note good">{say('fact.decided', { n: object.decisions.length })}</p>}
      {found === undefined ? (
        <p class="soft">{say('fact.by-hand')}</p>
      ) : (
        <>
          <h3 class="small soft">{say('fact.why')}</h3>
          <div class="chances">
            {chances.map(([stage, chance]) => (
              <>
                <span>{say(`stage.${stage}`)}</span>
                <meter min={0} max={1} value={chance} aria-label={say(`stage.${stage}`)} />
                <span>{percent(chance)}</span>
              </>
            ))}
          </div>
          <p class="small soft">{telling(found)}</p>
        </>
      )}
    </section>
  );
}

/** The measures that a person would go by, as one sentence. */
function telling({ measures, lengthUm, features }: Detection): string {
  const eye = features['eye_contrast'];
  return say('fact.telling', {
    length: micrometres(lengthUm),
    hinge: measures.hinge === null ? say('fact.no-hinge') : micrometres(measures.hinge.lengthUm),
    round: decimals(measures.circularity, 2),
    dark: decimals(measures.darkness, 2),
    eye: eye === undefined ? '–' : decimals(eye, 2),
  });
}
