export { badArgument, VeligridError, type FaultCode } from './errors.js';
export type { ConfirmedCount, ConfirmedObject, ConfirmedPhoto, CountingRule } from './confirmed-count.js';
export {
  COUNTED_KINDS,
  FLAGS,
  KINDS,
  STAGES,
  type Detection,
  type Field,
  type Flag,
  type Grid,
  type Kind,
  type Measures,
  type PhotoCount,
  type Scale,
  type ScaleSource,
  type Square,
  type Stage,
  type Warning,
} from './detection.js';
export {
  micrometres,
  micrometresPerPixel,
  pixels,
  toMicrometres,
  type Micrometres,
  type MicrometresPerPixel,
  type Pixels,
  type Quantity,
} from './units.js';
