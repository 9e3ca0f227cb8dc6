/**
 * The givens of each sheet by name. Empty here: the build writes its declaration anew from the sheets' own types
 * (setup/sheet-types.mjs), so that cells know them.
 */
// biome-ignore lint/suspicious/noEmptyInterface: filled by the build
export interface SheetGivens {}
