import { concentrationOf } from '@veligrid/estimation';
import { VeligridError, type CellTally } from '@veligrid/model';
import { checkNewName, find, type Desk } from '../desk.js';
import { field, type Given } from '../given.js';
import { AT, NOTE, timeOrNow, type Kind } from '../kind.js';

export const CULTURE: Kind = {
  name: 'culture',
  about: 'a culture of algae',
  fields: [
    field('culture', 'what it is called', { needed: 'always' }),
    field('alga', 'alga, such as "Tisochrysis lutea"', { needed: 'always' }),
    NOTE,
  ],
  keep: async (given, desk) => {
    const name = given.name('culture');
    await checkNewName(desk, 'culture', name);
    const fields = { name, species: given.name('alga'), note: given.text('note'), active: true };
    return desk.parts.cultures.add(fields, { by: desk.by });
  },
};

/** The count that a density rests on; null when none is given. */
function tallyOf(given: Given): CellTally | null {
  if (!given.has('cells')) return null;
  const [takenMl, madeUpToMl] = [given.maybeAbove0('taken_ml'), given.maybeAbove0('made_up_to_ml')];
  if ((takenMl === null) !== (madeUpToMl === null)) {
    throw new VeligridError('bad-argument', 'A dilution needs both taken_ml and made_up_to_ml, the final volume.');
  }
  const steps = takenMl === null || madeUpToMl === null ? [] : [{ takenMl, madeUpToMl }];
  return { cells: given.whole('cells'), volumeMl: given.above0('counted_ml'), steps };
}

function densityOf(given: Given, tally: CellTally | null): number {
  if (tally !== null) return tally.cells / (tally.volumeMl * concentrationOf(tally.steps));
  return given.number('cells_per_ml');
}

export const CULTURE_READING: Kind = {
  name: 'culture-reading',
  about: 'what a culture was on a day: litres, and cells per mL or the cells counted on a slide',
  fields: [
    field('culture', 'culture', { needed: 'always' }),
    AT,
    field('litres', 'volume, litres'),
    field('cells_per_ml', 'density, when it was not counted on a slide'),
    field('cells', 'cells counted on the slide'),
    field('counted_ml', 'volume looked at on the slide, mL (a haemocytometer square of 1 mm: 0.0001)'),
    field('taken_ml', 'volume taken for a dilution, mL'),
    field('made_up_to_ml', 'final volume of the dilution, mL'),
    NOTE,
  ],
  keep: async (given, desk) => {
    const { id } = await find(desk, 'culture', given.name('culture'));
    const tally = tallyOf(given);
    const fields = {
      cultureId: id,
      happenedAt: timeOrNow(given, desk),
      litres: given.maybeNumber('litres'),
      cellsPerMl: densityOf(given, tally),
      tally,
      note: given.text('note'),
    };
    return desk.parts.cultureReadings.append(fields, { by: desk.by });
  },
};

/** Density of a culture at a time: by the last reading before it. */
async function densityAt({ parts }: Desk, cultureId: string, at: string): Promise<number | null> {
  const readings = await parts.cultureReadings.list();
  return readings.findLast((one) => one.cultureId === cultureId && one.happenedAt <= at)?.cellsPerMl ?? null;
}

export const RATION: Kind = {
  name: 'ration',
  about: 'algae given to a tank',
  fields: [
    field('tank', 'tank', { needed: 'always' }),
    field('culture', 'culture', { needed: 'always' }),
    AT,
    field('litres', 'volume given, litres', { needed: 'always' }),
    field('cells_per_ml', 'density of the culture then (default: its last reading)'),
    NOTE,
  ],
  keep: async (given, desk) => {
    const tank = await find(desk, 'tank', given.name('tank'));
    const culture = await find(desk, 'culture', given.name('culture'));
    const happenedAt = timeOrNow(given, desk);
    const fields = {
      tankId: tank.id,
      cultureId: culture.id,
      happenedAt,
      litres: given.above0('litres'),
      cellsPerMl: given.maybeNumber('cells_per_ml') ?? (await densityAt(desk, culture.id, happenedAt)),
      note: given.text('note'),
    };
    return desk.parts.rations.append(fields, { by: desk.by });
  },
};

const READ = ['temperature_c', 'salinity_ppt', 'ph', 'oxygen_mg_l', 'note'];

export const WATER: Kind = {
  name: 'water',
  about: 'what the water of a tank was, or of the whole house',
  fields: [
    field('tank', 'tank (default: the whole house)'),
    AT,
    field('temperature_c', 'temperature, degrees Celsius'),
    field('salinity_ppt', 'salinity, parts per thousand'),
    field('ph', 'pH'),
    field('oxygen_mg_l', 'dissolved oxygen, mg a litre'),
    NOTE,
  ],
  keep: async (given, desk) => {
    if (!READ.some((name) => given.has(name))) {
      throw new VeligridError('bad-argument', `Nothing is noted: give one of ${READ.join(', ')}.`);
    }
    const tank = given.has('tank') ? await find(desk, 'tank', given.name('tank')) : null;
    const fields = {
      tankId: tank?.id ?? null,
      happenedAt: timeOrNow(given, desk),
      temperatureC: given.maybeNumber('temperature_c'),
      salinityPpt: given.maybeNumber('salinity_ppt'),
      ph: given.maybeNumber('ph'),
      oxygenMgL: given.maybeNumber('oxygen_mg_l'),
      note: given.text('note'),
    };
    return desk.parts.waterNotes.append(fields, { by: desk.by });
  },
};
