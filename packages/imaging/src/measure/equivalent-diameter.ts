/**
 * Diameter of the disc of the same area, sqrt(4 A / pi): the area-equivalent diameter x_A of ISO 9276-6. In the root of
 * the unit of the area: pixels from square pixels.
 *
 * @param area 0 or more
 */
export const equivalentDiameter = (area: number): number => Math.sqrt((4 * area) / Math.PI);
