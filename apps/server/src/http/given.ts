/** A type with nothing to write to: what answers may be made of. */
export type Given<T> = T extends object ? { readonly [K in keyof T]: Given<T[K]> } : T;
