import type { Change } from '../../figures/bench/change';

/** One step of a demonstration: what is set, and what to look for. */
export interface Step {
  readonly title: string;
  readonly look: string;
  readonly setting: Change;
}

const red: Change = { light: 'laser', wavelength: 632.8e-9, exposure: 4 };

/** From one slit to a grating, each step a change of one thing. The rest is as the bench begins. */
export const steps: readonly Step[] = [
  {
    title: 'One slit in red light',
    look: 'A broad bright middle, weak strips beside it, and dark places between. How far is the first dark place from the middle?',
    setting: { ...red, slits: 1 },
  },
  {
    title: 'A narrower slit',
    look: 'Half the width: does the pattern become narrower or wider?',
    setting: { ...red, slits: 1, width: 20e-6 },
  },
  {
    title: 'One slit in sunlight',
    look: 'Each wavelength has its dark place elsewhere. Which colour is missing where the strip looks orange?',
    setting: { slits: 1 },
  },
  {
    title: 'Two slits in red light',
    look: 'Fine stripes inside the pattern of one slit. What sets their distance, what their envelope?',
    setting: { ...red, slits: 2 },
  },
  {
    title: 'Two slits, farther apart',
    look: 'Twice the spacing. The envelope stays: why?',
    setting: { ...red, slits: 2, spacing: 200e-6 },
  },
  {
    title: 'Three slits',
    look: 'A small maximum comes up between each two large ones. Follow the three arrows as you move across it.',
    setting: { ...red, slits: 3 },
  },
  {
    title: 'Four slits',
    look: 'Two small maxima now. How many will ten slits have?',
    setting: { ...red, slits: 4 },
  },
  {
    title: 'Ten slits',
    look: 'The large maxima are narrow and stand where they stood. Turn brightness to logarithmic to see the small ones.',
    setting: { ...red, slits: 10 },
  },
  {
    title: 'Twenty slits in sunlight',
    look: 'Nearly a grating: white in the middle, a spectrum in each order. Which end of the spectrum lies inside?',
    setting: { slits: 20, exposure: 10 },
  },
  {
    title: 'A wide source slit',
    look: 'The image of the source slit covers several small maxima: they run together.',
    setting: { ...red, slits: 10, sourceWidth: 800e-6 },
  },
  {
    title: 'The third of ten slits blocked',
    look: 'Light appears where it was dark. Where is the missing arrow?',
    setting: { ...red, slits: 10, blocked: 3, scale: 'log' },
  },
  {
    title: 'Slits out of place',
    look: 'Chance errors of 8 µm: the outer orders suffer first. Why those?',
    setting: { ...red, slits: 10, placeError: 8e-6, span: 30e-3 },
  },
];
