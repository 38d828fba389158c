import { badArgument } from '@veligrid/model';
import type { Limits } from '@veligrid/estimation';
import {
  dYield,
  eggPool,
  growth,
  screenClasses,
  screening,
  sieveTable,
  stageAtLength,
  stocking,
  survival,
  yieldChain,
  type DYield,
  type SieveRow,
} from '@veligrid/hatchery';
import type { Body } from './answers.js';
import type { Context } from './context.js';
import type { Asked } from './questions.js';

/** mL of an egg pool for each tank. */
export function answerEggPool(
  { pool, fertilised, tanks }: Asked<'egg-pool'>,
  { values, book }: Context,
): Body<'egg-pool'> {
  const { densityPerMl } = values.count('pool', pool);
  const share = fertilised === undefined ? {} : { fertilisedShare: values.share('fertilised', fertilised) };
  const plan = eggPool({ densityPerMl, poolMl: pool.container.volumeMl, tanks, ...share }, book);
  return { poolPerMl: densityPerMl, ...plan };
}

/** The stage that was given, or that of the mean length by the sizes of the staging preset. */
export function stageOf(
  question: { readonly stage?: string; readonly meanLengthUm?: number },
  { sizes }: Pick<Context, 'sizes'>,
  otherwise?: string,
): string {
  if (question.stage !== undefined) return question.stage;
  const stage = question.meanLengthUm === undefined ? null : stageAtLength(sizes, question.meanLengthUm);
  const found = stage ?? otherwise;
  if (found === undefined) throw badArgument('stage', 'given, or meanLengthUm', undefined);
  return found;
}

/** Where larvae go. */
export function answerStocking(question: Asked<'stocking'>, context: Context): Body<'stocking'> {
  const { values, book } = context;
  const { perMl, larvae, tanks } = question;
  return stocking(
    {
      stage: stageOf(question, context, perMl === undefined ? undefined : 'any'),
      ...(perMl === undefined ? {} : { perMl }),
      ...(larvae === undefined ? {} : { larvae: values.amount('larvae', larvae) }),
      tanks: tanks.map(({ larvae: inIt, ...tank }, i) => ({
        ...tank,
        ...(inIt === undefined ? {} : { larvae: values.amount(`tanks[${i}].larvae`, inIt) }),
      })),
    },
    book,
  );
}

type Course = Omit<Body<'survival'>, 'yields' | 'chain'>;

/** Survival and balance of the counts; nothing without them. */
function courseOf(question: Asked<'survival'>, { values, book, level }: Context): Course {
  const { counts, stocked, sharedRelativeStandardUncertainty: shared } = question;
  if (counts === undefined) {
    return { intervals: [], course: [], overall: null, usual: null, figures: [], warnings: [], cautions: [] };
  }
  return survival(
    {
      counts: counts.map(({ alive, ...count }, i) => ({ ...count, alive: values.amount(`counts[${i}].alive`, alive) })),
      ...(stocked === undefined ? {} : { stocked }),
      ...(shared === undefined ? {} : { sharedRelativeStandardUncertainty: shared }),
      level,
    },
    book,
  );
}

function yieldsOf({ yield: asked }: Asked<'survival'>, { values }: Context): DYield {
  if (asked === undefined) return { yields: [], warnings: [] };
  const { dLarvae, of, denominator, fertilised } = asked;
  return dYield({
    dLarvae: values.amount('yield.dLarvae', dLarvae),
    of: values.amount('yield.of', of),
    denominator,
    ...(fertilised === undefined ? {} : { fertilisedShare: values.share('yield.fertilised', fertilised) }),
  });
}

/** Survival, balance, yields. */
export function answerSurvival(question: Asked<'survival'>, context: Context): Body<'survival'> {
  const course = courseOf(question, context);
  const { yields, warnings } = yieldsOf(question, context);
  const steps = (question.chain ?? []).map(({ name, number }, i) => ({
    name,
    number: context.values.amount(`chain[${i}].number`, number),
  }));
  return { ...course, yields, chain: yieldChain(steps), warnings: [...course.warnings, ...warnings] };
}

/** Growth beside band and past. */
export function answerGrowth(question: Asked<'growth'>, { values, book, level }: Context): Body<'growth'> {
  const { measurements, temperatureC } = question;
  return growth(
    {
      measurements: measurements.map(({ day, meanLengthUm, lengthsUm = [] }, i) => ({
        day,
        meanLengthUm:
          meanLengthUm === undefined
            ? values.meanLength(`measurements[${i}].lengthsUm`, lengthsUm)
            : values.limits(`measurements[${i}].meanLengthUm`, meanLengthUm),
      })),
      ...(temperatureC === undefined ? {} : { temperatureC }),
      level,
    },
    book,
  );
}

interface CountedClass {
  readonly apertureUm: number;
  readonly number: Limits;
  readonly lengthsUm?: readonly number[];
}

function fittedTable(classes: readonly CountedClass[], level: number): SieveRow[] {
  const some = classes.filter(({ number }) => number.estimate > 0);
  return sieveTable(
    some.map(({ apertureUm, number, lengthsUm = [] }) => ({ apertureUm, number: number.estimate, lengthsUm })),
    level,
  );
}

type Screens = Omit<Body<'screening'>, 'classes' | 'sieve'>;

/** What the screens keep of the lengths; nothing without lengths. */
function screensOf(
  question: Asked<'screening'>,
  fitted: readonly SieveRow[],
  { values, book, level }: Context,
): Screens {
  const { sieve: given, larvae, lengthsUm, ...rest } = question;
  if (lengthsUm === undefined) {
    return {
      keepShare: null,
      screens: [],
      chosenUm: null,
      lengthOverHeight: null,
      figures: [],
      warnings: [],
      cautions: [],
    };
  }
  const sieve = given?.map((row, i) => ({ ...row, l50Um: values.limits(`sieve[${i}].l50Um`, row.l50Um) })) ?? fitted;
  const number = larvae === undefined ? {} : { larvae: values.amount('larvae', larvae) };
  return screening({ ...rest, lengthsUm, sieve, ...number, level }, book);
}

/** Screens, their classes and the house's own sieve table. */
export function answerScreening(question: Asked<'screening'>, context: Context): Body<'screening'> {
  const counted = question.classes?.map(({ number, ...one }, i) => ({
    ...one,
    number: context.values.amount(`classes[${i}].number`, number),
  }));
  const sieve = fittedTable(counted ?? [], context.level);
  return {
    ...screensOf(question, sieve, context),
    classes: counted === undefined ? null : screenClasses(counted),
    sieve,
  };
}
