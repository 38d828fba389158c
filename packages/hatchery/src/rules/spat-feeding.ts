import { checkAbove0 } from './checks.js';

/** Ration of spat by weight. */
export interface SpatRation {
  readonly cellsPerMgPerWeek: number;
  readonly cellsPerMgPerDay: number;
  readonly cellsPerDay: number;
}

/** Days in a week. */
const WEEK = 7;

/**
 * Cells for spat: live weight x mg of dry algae per mg and week / mg of a million cells.
 *
 * @param liveWeightMg live weight of all spat, mg
 * @param mgPerMgPerWeek dry algae per live weight in a week, 0.4 by FAO 471, 6.4 (read second hand)
 * @param mgPerMillionCells weight of a million cells, 0.02 mg for Isochrysis
 */
export function spatRation(liveWeightMg: number, mgPerMgPerWeek: number, mgPerMillionCells: number): SpatRation {
  checkAbove0('the live weight', liveWeightMg);
  checkAbove0('the ration', mgPerMgPerWeek);
  checkAbove0('the weight of a million cells', mgPerMillionCells);
  const cellsPerMgPerWeek = (mgPerMgPerWeek / mgPerMillionCells) * 1e6;
  const cellsPerMgPerDay = cellsPerMgPerWeek / WEEK;
  return { cellsPerMgPerWeek, cellsPerMgPerDay, cellsPerDay: cellsPerMgPerDay * liveWeightMg };
}

/** What a dosing line delivers. */
export interface DosingLine {
  readonly mlPerSecond: number;
  readonly mlPerDay: number;
  readonly cellsPerDay: number;
}

/** A line that gives `ml` in `seconds`, of a culture of `cellsPerMl`, run day and night. */
export function dosingLine(ml: number, seconds: number, cellsPerMl: number): DosingLine {
  checkAbove0('ml', ml);
  checkAbove0('seconds', seconds);
  checkAbove0('cellsPerMl', cellsPerMl);
  const mlPerSecond = ml / seconds;
  const mlPerDay = mlPerSecond * 86_400;
  return { mlPerSecond, mlPerDay, cellsPerDay: mlPerDay * cellsPerMl };
}
