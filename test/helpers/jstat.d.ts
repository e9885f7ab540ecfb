/** Types for the parts of jstat that the tests use. */
declare module 'jstat' {
  interface Distribution {
    cdf(x: number, ...parameters: number[]): number;
    inv(p: number, ...parameters: number[]): number;
  }
  const jStat: {
    readonly normal: Distribution;
    readonly exponential: Distribution;
    readonly poisson: Distribution;
    readonly chisquare: Distribution;
    readonly studentt: Distribution;
  };
  export default jStat;
}
