/** How often something is done to each tank. */
export interface Rhythm {
  /** Days from one drop to the next; 0 when the house goes by no rhythm. */
  readonly dropDays: number;
  /** Days from one count to the next; 0 likewise. */
  readonly countDays: number;
  /** Days from one feed to the next; 0 likewise. */
  readonly feedDays: number;
  /** Age in days from which larvae are fed. */
  readonly feedFromDay: number;
}

/** Until the house says otherwise; common practice, no source. */
export const USUAL_RHYTHM: Rhythm = { dropDays: 2, countDays: 2, feedDays: 1, feedFromDay: 2 };
