import type { Context } from '../context.js';
import type { Parts } from '../contract.js';
import { accessPart } from './access.js';
import { recordsOf } from '../records.js';
import { decisionsPart, signOffsPart } from './decisions.js';
import { detectionsPart } from './detections.js';
import { jobsPart } from './jobs.js';
import { calibrationsPart, estimatesPart, rulesPart, settingsPart } from './logs.js';
import { BATCH_RECORDS, fillingsPart, MICROSCOPE_RECORDS, photosPart, samplesPart, TANK_RECORDS } from './samples.js';
import { plansPart } from './plans.js';
import { seasonPart } from './season.js';
import { signInsPart, staffPart } from './staff.js';

/** All parts on one connection or transaction. */
export function partsOf(context: Context): Parts {
  const staff = staffPart(context);
  const belonging = {
    fillings: fillingsPart(context),
    photos: photosPart(context),
    detections: detectionsPart(context),
    decisions: decisionsPart(context),
    signOffs: signOffsPart(context),
    estimates: estimatesPart(context),
  };
  return {
    staff,
    signIns: signInsPart(context, staff),
    microscopes: recordsOf(context, MICROSCOPE_RECORDS),
    calibrations: calibrationsPart(context),
    batches: recordsOf(context, BATCH_RECORDS),
    tanks: recordsOf(context, TANK_RECORDS),
    samples: samplesPart(context, belonging),
    ...belonging,
    ...seasonPart(context),
    ...accessPart(context),
    plans: plansPart(context),
    rules: rulesPart(context),
    settings: settingsPart(context),
    jobs: jobsPart(context),
  };
}
