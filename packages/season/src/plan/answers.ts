import type { Limits } from '@veligrid/estimation';
import type {
  BreedersPlan,
  ChainShare,
  ClassSummary,
  DosingLine,
  DYield,
  EggPoolPlan,
  FeedSheet,
  GrowthPlan,
  PackingPlan,
  Plan,
  RationPlan,
  ReadinessPlan,
  ScreeningPlan,
  SettingPlan,
  SieveRow,
  SpatRation,
  StockingPlan,
  SurvivalPlan,
} from '@veligrid/hatchery';

/** What the rules give, by kind. */
interface Plans {
  readonly 'egg-pool': EggPoolPlan & { readonly poolPerMl: Limits };
  readonly stocking: StockingPlan;
  readonly survival: Plan &
    Pick<SurvivalPlan, 'intervals' | 'course'> & {
      readonly overall: SurvivalPlan['overall'] | null;
      readonly usual: SurvivalPlan['usual'] | null;
      readonly yields: DYield['yields'];
      readonly chain: readonly ChainShare[];
    };
  readonly growth: GrowthPlan;
  readonly screening: Plan &
    Omit<ScreeningPlan, 'keepShare'> & {
      readonly keepShare: number | null;
      readonly classes: ClassSummary | null;
      readonly sieve: readonly SieveRow[];
    };
  readonly ration: Plan & {
    readonly tank: Omit<RationPlan, keyof Plan> | null;
    readonly spat: (SpatRation & { readonly alga: string }) | null;
    readonly line: DosingLine | null;
  };
  readonly 'feed-sheet': FeedSheet;
  readonly readiness: ReadinessPlan;
  readonly setting: SettingPlan;
  readonly packing: PackingPlan;
  readonly breeders: BreedersPlan;
}

/** Kinds of plan. */
export type PlanKind = keyof Plans;

/** An answer of one kind. */
export type AnswerOf<K extends PlanKind> = {
  readonly kind: K;
  readonly level: number;
  readonly species: string;
} & Plans[K];

/** An answer of any kind. */
export type PlanAnswer = { [K in PlanKind]: AnswerOf<K> }[PlanKind];

/** What a kind's answer adds to kind, level and species. */
export type Body<K extends PlanKind> = Plans[K];
