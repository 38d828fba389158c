import type { Stage } from './detection.js';

/** How a stage is shown: colour, a sign so that colour is never the only one, and its name in the legend. */
export interface StageMark {
  readonly colour: string;
  /** One or two letters, or a question mark. */
  readonly sign: string;
  readonly name: string;
}

/**
 * Colours that people with any common colour vision tell apart (Okabe and Ito 2008, jfly.uni-koeln.de/color); stages that
 * follow one another share one, their signs differ.
 */
export const STAGE_MARKS: Readonly<Record<Stage, StageMark>> = {
  egg: { colour: '#e69f00', sign: 'E', name: 'egg' },
  'fertilised-egg': { colour: '#e69f00', sign: 'EF', name: 'fertilised egg' },
  'two-cell': { colour: '#f0e442', sign: 'CT', name: 'two cells' },
  'four-cell': { colour: '#f0e442', sign: 'CF', name: 'four cells' },
  morula: { colour: '#f0e442', sign: 'M', name: 'morula' },
  blastula: { colour: '#cc79a7', sign: 'BL', name: 'blastula' },
  gastrula: { colour: '#cc79a7', sign: 'G', name: 'gastrula' },
  trochophore: { colour: '#cc79a7', sign: 'T', name: 'trochophore' },
  'd-larva': { colour: '#56b4e9', sign: 'D', name: 'D-larva' },
  umbo: { colour: '#0072b2', sign: 'U', name: 'umbo' },
  eyed: { colour: '#009e73', sign: 'Y', name: 'eyed' },
  pediveliger: { colour: '#009e73', sign: 'P', name: 'pediveliger' },
  'empty-shell': { colour: '#d55e00', sign: 'X', name: 'empty shell' },
  dead: { colour: '#d55e00', sign: 'XD', name: 'dead' },
  debris: { colour: '#000000', sign: 'N', name: 'debris' },
  bubble: { colour: '#000000', sign: 'B', name: 'bubble' },
  fibre: { colour: '#000000', sign: 'FI', name: 'fibre' },
  ciliate: { colour: '#000000', sign: 'CI', name: 'ciliate' },
  alga: { colour: '#000000', sign: 'A', name: 'alga' },
  unsure: { colour: '#8a2be2', sign: '?', name: 'unsure' },
};
