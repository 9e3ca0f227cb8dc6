/** The mime type under which a front end finds a slider. */
export const movableType = 'application/vnd.multislit.movable+json';
/** The target of the comm by which it is moved. */
export const movableTarget = 'multislit.movable';

/** A slider as front ends are told of it: plain data. All numbers are in its unit. */
export interface Slider {
  /** By which it is told apart. */
  readonly id: string;
  readonly label: string;
  /** After a number, with the space that belongs there; empty for plain numbers. */
  readonly unit: string;
  readonly value: number;
  readonly start: number;
  readonly from: number;
  readonly to: number;
  readonly step: number;
}
