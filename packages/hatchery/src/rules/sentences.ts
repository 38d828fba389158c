import { warningSaid, type Saying, type Warning } from '@veligrid/model';

/** Everything that the rules of the hatchery may warn of, with a sentence that says what to do. */
export const RULE_SENTENCES = {
  'below-band':
    'Mean length {length} um on day {day} is below the slow edge of the species band, {edge} um at {degrees} C (as it stands from {coldest} to {warmest} C). Check food, density, water and the scale of the pictures.',
  'below-band.slowed':
    'Mean length {length} um on day {day} is below the slow edge of the species band, {edge} um at {degrees} C (as it stands from {coldest} to {warmest} C, a day here counts for {pace}). Check food, density, water and the scale of the pictures.',
  'above-band':
    'Mean length {length} um on day {day} is above the fast edge of the species band, {edge} um at {degrees} C (as it stands from {coldest} to {warmest} C). Check the age, the scale of the pictures and whether small larvae were missed or culled.',
  'above-band.slowed':
    'Mean length {length} um on day {day} is above the fast edge of the species band, {edge} um at {degrees} C (as it stands from {coldest} to {warmest} C, a day here counts for {pace}). Check the age, the scale of the pictures and whether small larvae were missed or culled.',
  'slower-than-own-past':
    "The latest mean length is below what this batch's own past leads one to expect, {expected} um. Look at food and water; near setting growth slows by itself.",
  'faster-than-own-past':
    "The latest mean length is above what this batch's own past leads one to expect, {expected} um. Was it culled or screened in between?",
  'no-growth':
    'No growth since the measurement before: {growth} um a day. Check food and water, and that both samples are of the same batch.',
  'pool-too-small':
    'The tanks take {taken} mL but the pool holds {pool} mL. Check its volume, stock fewer tanks or fewer eggs per mL.',
  'poured-off-target':
    '{tank}: the {ml} mL poured make {density} per mL where {wanted} were wanted. Was another pool volume used to work it out?',
  overstocked:
    '{tank} holds {density} per mL, more than it should at this stage beyond the limits. Thin it to {holds} larvae.',
  'tanks-too-small': 'The tanks hold {holds} larvae at this stage; {surplus} more find no room. Add tanks, or cull.',
  'culture-short': '{culture}: {asked} mL are asked for and {given} mL handed out. Short: {tanks}.',
  'tank-short': '{tank} reaches {part} % of its target.',
  'culture-too-thin':
    '{tank} gets nothing: no culture that its larvae can take is denser than the {target} cells per mL wanted, in T-Iso cells. Concentrate one.',
  'alga-too-large': '{alga} is only for larvae of {length} um and more. Leave it out.',
  'alga-too-large.in-tank':
    '{tank}: {alga} is only for larvae of {length} um and more; it is left out unless the mix names it.',
  'ready-now': '{share} % are above the setting length already. Look at feet and eye spots today.',
  'no-forecast':
    'No day is given by the growth of this batch: there are too few dates, or the day lies too far ahead. The days of the species band stand beside; measure again in a few days.',
  'scatter-not-given':
    'Without sdUm or lengthsTodayUm the day is that of the mean length, when half of the larvae are above.',
  'too-few-larvae.to-pack': '{packages} packages ask for {asked} larvae and there are {larvae}.',
  'too-few-larvae.to-set': 'The target asks for {needed} larvae and there are {larvae}. Take less cultch.',
  'preset-packed-volume':
    'How many larvae make a mL of drained mass is a preset from memory. Count a little of your own and give it as sample.',
  'too-long-underway': '{days} days are more than the {most} that eyed larvae keep cold and damp.',
  'no-screen-keeps': 'No screen keeps {wanted} % of these larvae. Use a finer screen, or cull knowingly.',
  'keeps-less-perhaps':
    '{screen} um keeps {kept} % by the estimate, but the limits go down to {low} %. Measure more larvae, or take the next finer screen.',
  'few-lengths.to-screen': 'Fewer than 10 lengths were measured; shares and limits say little. Measure at least 50.',
  'screen-not-fitted':
    'Some shares rest on geometry with a shell thickness of 0.6 of its height, a figure without source. Fit your own sieve table from what your screens keep. Empty shells ride on screens too: what is kept is not all alive.',
  'efficiency-over-100':
    'The efficiency reaches {high} % at its upper limit: more spat than larvae. The counts behind it are poor; count more of both.',
  'efficiency-preset':
    'The efficiency is a preset, {usual} % with {low} % to {high} %. Count larvae and spat of your own sets and give them as ownSets.',
  'too-little-microcultch': '{doubles} % of the grains with spat would carry two or more; for {most} % take {grams} g.',
  'shares-assumed-equal':
    '{breeders} holds only if every breeder gives the same part of the offspring, which is rare in mass spawns: 8 dams and 6 sires of Pacific oyster gave 11.4 instead of 13.7 (Li, Li & Yu 2009). Give shares, or fertilise parts of the pooled eggs with one male each.',
  'related-cross':
    '{sire} x {dam}: kinship {kinship}, the inbreeding of their offspring, is {limit} or more. Choose another pair.',
  'tried-before': '{sire} x {dam} was tried before.',
  'heavy-loss':
    'Losses are beyond the usual even at the upper limit, {high} % survival a day against {usual} %. Look at the water, the food and the larvae before anything is dosed.',
  'no-eggs': 'No egg or embryo could be scored.',
  'few-eggs': 'Only {scored} eggs were scored. Count {enough} or more, better 300.',
  'fertilised-at-least': 'It was too early for all fertilised eggs to show it: the share is the least that it can be.',
  'below-target':
    '{share} % fertilised is below the target of {target} %. Check sperm, eggs and water before stocking.',
  'little-left': 'Only {part} % of the last target is left: raise the ration.',
  'much-left': '{part} % of the last target is left: cut the ration, and look whether the larvae eat.',
  'views-differ':
    'By volume one larva gets {ratio} times what a larva of this length is given, more than {apart} times apart. Is the number of larvae right, or the tank thinly or thickly stocked? Then feed by larva.',
  'enough-left': 'What is left reaches the target: nothing is added.',
  'yield-over-100.beyond-limits':
    '{share} % of the {counted} became D-larvae, which can not be and lies beyond the limits. Check the volumes of both counts, above all the pool the eggs came from.',
  'yield-over-100.within-limits':
    '{share} % of the {counted} became D-larvae, which can not be, though the limits allow 100 %. Check the volumes of both counts, above all the pool the eggs came from.',
} as const;

/** What a warning is about, said before it. */
export const RULE_SUBJECTS = { 'between-days': 'Day {from} to {to}' } as const;

type RuleSentences = typeof RULE_SENTENCES;

/** A warning of the rules: numbers in the unit that the sentence names, parts in per cent. */
export const ruleWarning = <As extends keyof RuleSentences>(
  as: As,
  values: Saying<RuleSentences, As>['values'],
): Warning => warningSaid({ sentences: RULE_SENTENCES, as, values });
