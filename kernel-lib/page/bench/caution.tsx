import type { BenchLight } from '../../figures/bench/setting';
import { useValue } from '../store';
import type { BenchModel } from './bench-model';

const rules = 'Local rules and the responsible safety officer decide.';

const words: Partial<Record<BenchLight, string>> = {
  sunlight: `On a real bench: sunlight through a lens can blind and burn. Never look along the beam, nor through the camera lens or a telescope, nor at the mirror that brings the sun in. ${rules}`,
  laser: `On a real bench: never let the beam, or its reflection, meet an eye, nor look at it through a lens or telescope; know the laser’s class, and keep the beam below or above eye level. ${rules}`,
  filament: `On a real bench: the bulb, its housing and the condenser burn fingers, also for a while after; do not look into the gathered beam, nor through a lens at the filament. The mains lead stays whole and dry. ${rules}`,
  mercury: `On a real bench: a mercury lamp gives ultraviolet light, gets hot, and holds mercury. Keep its glass and housing on, do not look into it, and leave the room and tell someone if it breaks. ${rules}`,
  cadmium: `On a real bench: a cadmium lamp gives ultraviolet light, gets hot, and holds cadmium. Keep its housing on, do not look into it, and leave the room and tell someone if it breaks. ${rules}`,
};

const lamp = `On a real bench: a discharge lamp gets hot and its supply gives a high voltage. Keep the housing on, do not look into it, and switch off before you change anything. ${rules}`;

const sunInSpectrometer = `On a real spectrometer: the sun in the telescope blinds at once. Never turn slit or telescope to the sun, nor send its beam into the slit while anyone looks in: take the light of the sky, or of white paper in the sun. ${rules}`;

/** What can hurt where a light is used for real. */
export const cautionFor = (light: BenchLight): string => words[light] ?? lamp;

/** What can hurt where this bench stands in a room; the screen cannot. */
export function Caution({ light, isSpectrometer }: { light: BenchLight; isSpectrometer: boolean }) {
  const said = light === 'sunlight' && isSpectrometer ? sunInSpectrometer : cautionFor(light);
  return <p class="caution">{said}</p>;
}

/** The same at the foot, for a large view and for paper, where the controls are not in sight. */
export function FootCaution({ model }: { model: BenchModel }) {
  const light = useValue(model.setting, (setting) => setting.light);
  const isSpectrometer = useValue(model.setting, ({ stand }) => stand === 'spectrometer');
  return (
    <footer class="foot">
      <Caution light={light} isSpectrometer={isSpectrometer} />
    </footer>
  );
}
