import type { HistoryChoice } from './choose-spread.js';
import type { Level } from './limits.js';
import type { Tally } from './tally.js';
import type { Step } from './volumes.js';

/** One count from one filling of the slide, or part of a filling. */
export interface Subsample {
  /** Animals counted, confirmed or tallied by hand. */
  readonly count: Tally;
  /** Volume looked at on the slide, in mL. */
  readonly volumeMl: number;
  /** Dilutions and concentrations between the container and the slide; none by default. */
  readonly steps?: readonly Step[];
  /** Name of the filling; subsamples of one filling are added up. By default each is a filling of its own. */
  readonly filling?: string;
}

/** What is asked. */
export interface CountInput {
  readonly container: {
    /** Volume of what the subsamples were taken from, in mL. */
    readonly volumeMl: number;
    /** By default the preset of 2 %. */
    readonly relativeStandardUncertainty?: number;
  };
  readonly subsamples: readonly Subsample[];
  /** Of the slide's volume, common to all subsamples: cell depth, pipette. By default the preset of 2 %. */
  readonly volumeRelativeStandardUncertainty?: number;
  /** By default the starting CV. */
  readonly history?: HistoryChoice;
  readonly level?: Level;
  /** How squares or fields were picked; at random by default. */
  readonly placement?: 'random' | 'chosen';
  /** Eggs that the animals came from, to work out the yield. */
  readonly eggs?: number;
  /** Animals that were stocked, to check against. */
  readonly stocked?: number;
}
