/** The ways out of a damaged copy. */
export const beginAnew =
  'Put an earlier copy in its place, or give it another name and begin the sheet anew.';
