/** Draws a student's givens. Each name has a stream of its own, so that a new given never moves the others. */
export interface Draw {
  /** A multiple of `step` between `low` and `high`, both included, all equally likely. SI units. */
  between(name: string, low: number, high: number, step: number): number;
  /** One of the list. */
  choice<T>(name: string, list: readonly T[]): T;
  /** `count` normal deviates of standard deviation 1, for documented noise. */
  normals(name: string, count: number): number[];
  /** A whole number, to seed something else. */
  seed(name: string): number;
}
