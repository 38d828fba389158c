declare const unit: unique symbol;

/** A number that carries its unit in the type, so micrometres can't be passed for pixels. */
export type Quantity<Unit extends string> = number & { readonly [unit]: Unit };

/** Length on the slide in micrometres. */
export type Micrometres = Quantity<'um'>;
/** Length in the upright picture in pixels. */
export type Pixels = Quantity<'px'>;
/** Scale of a picture in micrometres per pixel. */
export type MicrometresPerPixel = Quantity<'um/px'>;

/** Marks a plain number as micrometres. */
export const micrometres = (value: number): Micrometres => value as Micrometres;
/** Marks a plain number as pixels. */
export const pixels = (value: number): Pixels => value as Pixels;
/** Marks a plain number as micrometres per pixel. */
export const micrometresPerPixel = (value: number): MicrometresPerPixel => value as MicrometresPerPixel;

/** Length on the slide of a length in the picture. */
export const toMicrometres = (length: Pixels, scale: MicrometresPerPixel): Micrometres => micrometres(length * scale);
