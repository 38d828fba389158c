import { z } from 'zod';
import { words } from './parts.js';

const rhythmDays = z.number().int().min(0).max(60);

/** How the house likes to see things. Stored values stay in SI units whatever is chosen here. */
export const settings = z.object({
  hatchery: z.string().max(200),
  language: z.enum(['en', 'es']),
  /** How numbers and dates are written, BCP 47. */
  locale: z.string().min(2).max(35),
  volume: z.enum(['litre', 'us-gallon']),
  temperature: z.enum(['celsius', 'fahrenheit']),
  /** Species preset of new samples. */
  species: words,
  /** Days after which a calibration is called out of date, 1 to 3650. */
  calibrationDays: z.number().int().min(1).max(3650),
  /** Days from one drop, count and feed of a tank to the next; 0 for no rhythm. */
  dropDays: rhythmDays,
  countDays: rhythmDays,
  feedDays: rhythmDays,
  /** Age in days from which larvae are fed. */
  feedFromDay: rhythmDays,
});

/** Fields to change; the others stay. */
export const changedSettings = settings.partial().strict();
