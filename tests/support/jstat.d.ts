/** Only what the cross-check of quantiles uses; the package ships no types. */
declare module 'jstat' {
  const jstat: {
    readonly chisquare: { inv(p: number, df: number): number };
    readonly studentt: { inv(p: number, df: number): number };
    readonly beta: { inv(p: number, a: number, b: number): number };
  };
  export default jstat;
}
