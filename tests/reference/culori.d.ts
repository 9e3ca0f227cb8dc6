// culori 4.0.2 comes without types; these are the few names that the checks use.
declare module 'culori' {
  export type Colour = { mode: string; [channel: string]: number | string };
  export function converter(mode: string): (colour: Colour) => Record<string, number>;
  export function differenceCiede2000(): (one: Colour, other: Colour) => number;
}
