/** The two distributions of jstat that are used. */
declare module 'jstat' {
  const jstat: {
    readonly studentt: { inv(probability: number, freedom: number): number };
    readonly normal: { inv(probability: number, mean: number, deviation: number): number };
  };
  export default jstat;
}
