import type { Warning } from '@veligrid/model';

/** Everything the estimates may warn of, with a sentence that says what to do. */
export const ESTIMATE_SENTENCES = {
  'one-filling':
    'All counts come from one filling of the slide, which says nothing of how evenly the container was mixed. Fill the slide again from a freshly mixed container.',
  'nothing-counted':
    'No animal was counted, so the upper limit holds counting error alone. Look at more squares, or concentrate the sample.',
  'no-history':
    'One subsample without history says nothing of the mixing, so the limits are very wide. Count a second filling, or use the starting history.',
  'starting-cv':
    'The scatter between subsamples is a starting value from 26 published triplicates of another hatchery (CV 12.9 %). Count three fillings or more until your own history has 10 degrees of freedom.',
  'short-history':
    'Your own history has fewer than 10 degrees of freedom and is not used yet. Keep counting two or more fillings each time.',
  'history-not-used':
    'These subsamples scatter far more than your history (F test, p below 0.01), so history was not used. Look for a cause: mixing, pipette, clumps or a mistyped volume.',
  'history-in-doubt':
    'These subsamples scatter so much more than history leads one to expect that the limits were widened. Count a further filling.',
  heterogeneous:
    'The subsamples differ more than a well-mixed container explains (p below 0.01). Mix again, check for clumps and for mistyped counts or volumes, and count another filling.',
  'too-even': 'The subsamples agree better than chance allows (p below 0.01). Check that no photo was counted twice.',
  'replicate-volume':
    "One subsample fits the others only with another subsample's volume. Check which volume was really taken for each.",
  'few-counted':
    'Fewer than 30 animals were counted in all, so the limits are very wide. Count more squares or fillings, or concentrate the sample.',
  'fields-not-random':
    'The squares or fields were chosen by eye, not at random. Staff tend to pick good-looking ones, and no limits cover that.',
  'no-useful-limit':
    'The subsamples differ so much that they set no useful limit; the one shown is a million million times the estimate. Count again.',
  'yield-over-100':
    'The yield is over 100 %: more larvae than eggs. Check the volumes of both counts, above all the pool the eggs came from.',
  'more-than-stocked':
    'More animals were found than were stocked. Check volumes and dilutions of both counts before using either.',
  'survival-above-1':
    'The second count is higher than the first beyond their uncertainty, which no survival explains. Check volumes, mixing and method of both counts.',
  'no-measurable-loss': 'The second count is not below the first: no measurable loss between the two dates.',
  'method-differs':
    'The two dates were counted by different methods, rules or people, so part of the difference may be theirs. Count both with one method.',
  'forecast-too-far':
    'The day lies further ahead than a third of the days observed, so it is not given. Measure again in a few days.',
  'target-not-reached': 'By this model the length is never reached. Measure again in a few days.',
  'models-disagree': 'The growth models give different days. Plan for the earliest and the latest of them.',
  'few-for-models': 'With fewer than 6 dates the curves can not be told apart, so the straight line is shown first.',
  'wide-denominator':
    'The first count is so uncertain that limits by ratio and by logarithm differ; those by ratio (Fieller) stand beside.',
  'unbounded-ratio': 'The first count is too uncertain to bound the ratio at all. Count more before comparing.',
  'one-slide':
    'The share comes from one slide, so how slides differ is not in the limits. Count a second slide from the freshly mixed sample.',
  'slides-differ':
    'The slides differ more than chance explains, so the limits are widened for it. Mix well and count more slides.',
  'few-lengths': 'Fewer than 10 lengths were measured; percentiles and limits say little. Measure at least 50.',
  'two-groups-few': 'Two groups show, but with fewer than 40 lengths that may be chance.',
  'preset-thickness':
    'What the screen keeps rests on a shell thickness of 0.6 of its height, a figure without source. Fit your own: 0.4 or 0.8 would shift the size that passes by 8 to 10 %.',
  'few-audited': 'Fewer than 5 squares were checked, so the limits rest on very little. Check more squares.',
  'nothing-detected': 'Nothing was detected in the checked squares, so no ratio can be formed.',
  'model-not-fitted': 'A growth curve could not be fitted to these dates and was left out.',
} as const;

/** Stable codes of the warnings. */
export type WarningCode = keyof typeof ESTIMATE_SENTENCES;

/** The warning of a code. */
export const warning = (code: WarningCode): Warning => ({ code, message: ESTIMATE_SENTENCES[code] });

/** The warnings whose condition holds, in the order given. */
export const warningsIf = (conditions: readonly (readonly [WarningCode, boolean])[]): Warning[] =>
  conditions.filter(([, holds]) => holds).map(([code]) => warning(code));
