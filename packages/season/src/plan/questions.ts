import type { Limits } from '@veligrid/estimation';
import type {
  BreedersQuestion,
  EggPoolInput,
  FeedSheetQuestion,
  PackingQuestion,
  RationQuestion,
  ReadinessQuestion,
  ScreeningQuestion,
  SettingQuestion,
  StockingQuestion,
} from '@veligrid/hatchery';
import type { TypedAmount, TypedShare, TypedTally } from './read-values.js';

/** What every question may say. */
interface Common {
  readonly level?: number;
  readonly species?: string;
}

/** The same object with some fields as they are typed. */
type Typed<T, F> = Omit<T, keyof F> & F;

type EggPoolAsked = Common & {
  readonly kind: 'egg-pool';
  readonly pool: TypedTally & { readonly container: { readonly volumeMl: number } };
  readonly fertilised?: TypedShare;
  readonly tanks: EggPoolInput['tanks'];
};

type StockingAsked = Common &
  Typed<
    StockingQuestion,
    {
      readonly kind: 'stocking';
      readonly stage?: string;
      readonly meanLengthUm?: number;
      readonly larvae?: TypedAmount;
      readonly tanks: readonly Typed<StockingQuestion['tanks'][number], { readonly larvae?: TypedAmount }>[];
    }
  >;

type SurvivalAsked = Common & {
  readonly kind: 'survival';
  readonly counts?: readonly {
    readonly day: number;
    readonly alive: TypedAmount;
    readonly takenOut?: number;
    readonly putIn?: number;
    readonly method?: string;
  }[];
  readonly stocked?: number;
  readonly sharedRelativeStandardUncertainty?: number;
  readonly yield?: {
    readonly dLarvae: TypedAmount;
    readonly of: TypedAmount;
    readonly denominator: 'eggs' | 'fertilised eggs';
    readonly fertilised?: TypedShare;
  };
  readonly chain?: readonly { readonly name: string; readonly number: TypedAmount }[];
};

type GrowthAsked = Common & {
  readonly kind: 'growth';
  readonly measurements: readonly {
    readonly day: number;
    readonly meanLengthUm?: number | Limits;
    readonly lengthsUm?: readonly number[];
  }[];
  readonly temperatureC?: number;
};

type ScreeningAsked = Common &
  Typed<
    ScreeningQuestion,
    {
      readonly kind: 'screening';
      readonly lengthsUm?: readonly number[];
      readonly larvae?: TypedAmount;
      readonly sieve?: readonly {
        readonly apertureUm: number;
        readonly l50Um: number | Limits;
        readonly selectionRangeUm: number;
      }[];
      readonly classes?: readonly {
        readonly apertureUm: number;
        readonly number: TypedAmount;
        readonly lengthsUm?: readonly number[];
      }[];
    }
  >;

type RationAsked = Common &
  Typed<
    RationQuestion,
    {
      readonly kind: 'ration';
      readonly stage?: string;
      readonly larvae?: TypedAmount;
      readonly volumeMl?: number;
      readonly cultures?: readonly Typed<RationQuestion['cultures'][number], { readonly cellsPerMl: TypedAmount }>[];
      readonly spat?: { readonly liveWeightMg: number; readonly mgPerMgPerWeek?: number; readonly alga?: string };
      readonly line?: { readonly ml: number; readonly seconds: number; readonly cellsPerMl: number };
    }
  >;

type FeedSheetAsked = Common &
  Typed<
    FeedSheetQuestion,
    {
      readonly kind: 'feed-sheet';
      readonly tanks: readonly Typed<FeedSheetQuestion['tanks'][number], { readonly larvae?: TypedAmount }>[];
      readonly cultures: readonly Typed<FeedSheetQuestion['cultures'][number], { readonly cellsPerMl: TypedAmount }>[];
    }
  >;

type ReadinessAsked = Common &
  Typed<
    Omit<ReadinessQuestion, 'eyedShare'>,
    { readonly kind: 'readiness'; readonly eyed?: TypedShare; readonly larvae?: TypedAmount }
  >;

type SettingAsked = Common &
  Typed<
    SettingQuestion,
    {
      readonly kind: 'setting';
      readonly larvae?: TypedAmount;
      readonly efficiency?: TypedShare;
      readonly ownSets?: readonly { readonly larvae: TypedAmount; readonly spat: TypedAmount }[];
    }
  >;

type PackingAsked = Common &
  Typed<
    PackingQuestion,
    {
      readonly kind: 'packing';
      readonly larvae: TypedAmount;
      readonly sample?: { readonly larvae: TypedAmount; readonly ml?: number; readonly grams?: number };
    }
  >;

type BreedersAsked = Common & { readonly kind: 'breeders' } & BreedersQuestion;

/** A question of any kind, as the schema describes it. */
export type PlanQuestion =
  | EggPoolAsked
  | StockingAsked
  | SurvivalAsked
  | GrowthAsked
  | ScreeningAsked
  | RationAsked
  | FeedSheetAsked
  | ReadinessAsked
  | SettingAsked
  | PackingAsked
  | BreedersAsked;

/** A question of one kind. */
export type Asked<K extends PlanQuestion['kind']> = Extract<PlanQuestion, { readonly kind: K }>;
