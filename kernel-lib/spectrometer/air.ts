import { requirePositive, requireWithin } from '../numerics/require';

/** The air a wavelength is meant in; left out: standard air, 15 °C, 101 325 Pa, dry, 450 ppm of CO₂. */
export interface Air {
  /** K, default 288.15. */
  readonly temperature?: number;
  /** Pa, default 101325. */
  readonly pressure?: number;
  /** Relative humidity 0…1, default 0. */
  readonly humidity?: number;
  /** Share of CO₂, default 450e-6. */
  readonly carbonDioxide?: number;
}

/**
 * Refractive index of air.
 *
 *   (n − 1)·10⁸ = 5792105/(238.0185 − σ²) + 167917/(57.362 − σ²) in standard air, σ = 1/λ in µm⁻¹,
 *   elsewhere scaled by the densities of dry air and of water vapour
 *
 * @param vacuumWavelength wavelength in vacuum, m, 230 nm … 1.7 µm
 * @param air its state; see `Air`
 * @returns n, about 1.00028
 * @throws RangeError outside that range, or for a state that no laboratory has
 * @see Ciddor, Appl. Opt. 35, 1566 (1996): coefficients from memory, checked against two published dry values
 * @example refractiveIndexOfAir(633e-9, { temperature: 293.15, pressure: 100e3 }) // 1.000268244
 */
export function refractiveIndexOfAir(vacuumWavelength: number, air: Air = {}): number {
  checkWavelength(vacuumWavelength, 'vacuum');
  const { temperature, pressure, humidity, carbonDioxide } = checked(air);
  const square = (1e-6 / vacuumWavelength) ** 2;
  const standard = 1e-8 * (5792105 / (238.0185 - square) + 167917 / (57.362 - square));
  const dry = standard * (1 + 0.534 * (carbonDioxide - 450e-6));
  const vapour =
    1.022e-8 * (295.235 + 2.6422 * square - 0.03238 * square * square + 0.004028 * square ** 3);

  const celsius = temperature - 273.15;
  const enhancement = 1.00062 + 3.14e-8 * pressure + 5.6e-7 * celsius * celsius;
  const wet = (enhancement * humidity * saturation(temperature)) / pressure;
  const molarDry = 1e-3 * (28.9635 + 12.011 * (carbonDioxide - 400e-6));
  const molarWater = 0.018015;
  const density = (molar: number, share: number, p: number, t: number, x: number) =>
    (p * molar * share) / (compressibility(p, t, x) * 8.31451 * t);
  const airShare =
    density(molarDry, 1 - wet, pressure, temperature, wet) /
    density(molarDry, 1, 101325, 288.15, 0);
  const waterShare =
    density(molarWater, wet, pressure, temperature, wet) / density(molarWater, 1, 1333, 293.15, 1);
  return 1 + airShare * dry + waterShare * vapour;
}

/**
 * Wavelength in air of a wavelength in vacuum: λ_air = λ_vac / n.
 *
 * @param vacuumWavelength m
 * @param air state of the air, default standard air
 * @returns wavelength in that air, m
 * @throws RangeError outside 230 nm … 1.7 µm
 * @example wavelengthInAir(632.99121e-9) // 632.8162e-9
 */
export function wavelengthInAir(vacuumWavelength: number, air: Air = {}): number {
  return vacuumWavelength / refractiveIndexOfAir(vacuumWavelength, air);
}

/**
 * Wavelength in vacuum of a wavelength in air: λ_vac = n(λ_vac) λ_air, by iteration.
 *
 * @param airWavelength wavelength in air, m
 * @param air state of that air, default standard air
 * @returns wavelength in vacuum, m
 * @throws RangeError outside 230 nm … 1.7 µm
 * @example wavelengthInVacuum(588.9951e-9) // 589.1583e-9
 */
export function wavelengthInVacuum(airWavelength: number, air: Air = {}): number {
  checkWavelength(airWavelength, 'air');
  let vacuum = airWavelength * 1.00028;
  // n changes by parts in 10⁶ across the spectrum, so every round gains five digits.
  for (let round = 0; round < 4; round++) {
    vacuum = airWavelength * refractiveIndexOfAir(vacuum, air);
  }
  return vacuum;
}

/** Saturation vapour pressure of water, Pa. */
function saturation(t: number): number {
  return Math.exp(1.2378847e-5 * t * t - 1.9121316e-2 * t + 33.93711047 - 6343.1645 / t);
}

function compressibility(p: number, t: number, x: number): number {
  const c = t - 273.15;
  const first =
    1.58123e-6 -
    2.9331e-8 * c +
    1.1043e-10 * c * c +
    (5.707e-6 - 2.051e-8 * c) * x +
    (1.9898e-4 - 2.376e-6 * c) * x * x;
  return 1 - (p / t) * first + (p / t) ** 2 * (1.83e-11 - 0.765e-8 * x * x);
}

function checkWavelength(wavelength: number, medium: string): void {
  requirePositive(
    `The wavelength in ${medium}`,
    wavelength,
    'give it in metres, such as nm(589.3)',
  );
  if (wavelength < 229e-9 || wavelength > 1.701e-6) {
    throw new RangeError(
      `The wavelength in ${medium} is ${wavelength} m: the formula for air holds from 230 nm to 1.7 µm. Give metres, such as 589.3e-9.`,
    );
  }
}

function checked(air: Air): Required<Air> {
  const state = {
    temperature: air.temperature ?? 288.15,
    pressure: air.pressure ?? 101325,
    humidity: air.humidity ?? 0,
    carbonDioxide: air.carbonDioxide ?? 450e-6,
  };
  const limits = {
    temperature: [230, 340, 'kelvin (20 °C is 293.15)'],
    pressure: [1e4, 1.5e5, 'pascal (1 bar is 1e5)'],
    humidity: [0, 1, 'a share between 0 and 1'],
    carbonDioxide: [0, 0.01, 'a share (450 ppm is 450e-6)'],
  } as const;
  for (const name of Object.keys(limits) as (keyof typeof limits)[]) {
    const [low, high, unit] = limits[name];
    requireWithin(name, state[name], [low, high], `give it in ${unit}`);
  }
  return state;
}
