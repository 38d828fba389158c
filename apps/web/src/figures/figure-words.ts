import type { Figure } from '@veligrid/api';
import { say, sayOr } from '../words/say.js';

const slug = (text: string): string => text.replaceAll(/[, ]+/g, '-');

/** Figures of every alga are told alike: the alga stands in their name. */
const wordOf = (name: string): string => `figure.about.${name.replace(/^algae\.[^.]+\./, 'algae.')}`;

/** What a figure is, in words; what the house says of a figure of its own, else its name. */
export const figureName = ({ name, about }: Pick<Figure, 'name' | 'about'>): string =>
  sayOr(wordOf(name), about ?? name);

/** The unit of a figure. */
export const figureUnit = ({ unit }: Pick<Figure, 'unit'>): string => sayOr(`figure.unit.${slug(unit)}`, unit);

/** Where a figure comes from: titles stay as they are, and that there is no source is told. */
export const figureSource = ({ source }: Pick<Figure, 'source'>): string =>
  source.replaceAll('common practice, no source', say('figure.no-source'));

/** How far a source can be relied on. */
export const confidenceWords = ({ confidence }: Pick<Figure, 'confidence'>): string =>
  sayOr(`confidence.${slug(confidence)}`, confidence);
