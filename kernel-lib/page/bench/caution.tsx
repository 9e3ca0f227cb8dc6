import type { BenchLight } from '../../figures/bench/setting';

const rules = 'Local rules and the responsible safety officer decide.';

const words: Partial<Record<BenchLight, string>> = {
  sunlight: `On a real bench: sunlight through a lens can blind and burn. Never look along the beam, through the camera lens or at the heliostat’s mirror. ${rules}`,
  laser: `On a real bench: never let the beam, or its reflection, meet an eye; know the laser’s class, and keep the beam below or above eye level. ${rules}`,
  filament: `On a real bench: the bulb and its housing burn fingers, also for a while after; the mains lead stays whole and dry. ${rules}`,
  mercury: `On a real bench: a mercury lamp gives ultraviolet light, gets hot, and holds mercury. Keep its glass and housing on, do not look into it, and leave the room and tell someone if it breaks. ${rules}`,
  cadmium: `On a real bench: a cadmium lamp gives ultraviolet light, gets hot, and holds cadmium. Keep its housing on and do not look into it. ${rules}`,
};

const lamp = `On a real bench: a discharge lamp gets hot and its supply gives a high voltage. Keep the housing on and switch off before you change anything. ${rules}`;

/** What can hurt where this bench stands in a room; the screen cannot. */
export function Caution({ light }: { light: BenchLight }) {
  return <p class="caution">{words[light] ?? lamp}</p>;
}
