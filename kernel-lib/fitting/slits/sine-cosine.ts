const perQuarter = 2 / Math.PI;
// π/2 in two parts: the first has 33 bits, so that its multiples are exact up to 2²⁰ quarter turns.
const quarterHigh = 1.5707963267341256;
const quarterLow = 6.077100506506192e-11;

/**
 * Sine and cosine of one angle together, for about the price of one of them.
 *
 * Right to 2e-16 (absolute) up to a million radians; larger angles go to Math.sin and Math.cos.
 *
 * @see the polynomials of FreeBSD's msun k_sin.c and k_cos.c (Sun Microsystems, freely usable; coefficients from
 * memory, checked against Math.sin and Math.cos in the tests)
 * @example
 * const turn = new SineCosine();
 * turn.set(1);
 * turn.sine // 0.8414709848078965
 */
export class SineCosine {
  sine = 0;
  cosine = 1;

  set(angle: number): void {
    const quarters = Math.round(angle * perQuarter);
    const r = angle - quarters * quarterHigh - quarters * quarterLow;
    const z = r * r;
    const s =
      r +
      r *
        z *
        (-0.16666666666666632 +
          z *
            (0.00833333333332249 +
              z *
                (-0.00019841269829857949 +
                  z *
                    (2.7557313707070068e-6 +
                      z * (-2.5050760253406863e-8 + z * 1.58969099521155e-10)))));
    const c =
      1 -
      z * 0.5 +
      z *
        z *
        (0.0416666666666666 +
          z *
            (-0.001388888888887411 +
              z *
                (2.480158728947673e-5 +
                  z *
                    (-2.7557314351390663e-7 +
                      z * (2.087572321298175e-9 - z * 1.1359647557788195e-11)))));
    if (!(Math.abs(angle) < 1e6)) {
      this.sine = Math.sin(angle);
      this.cosine = Math.cos(angle);
      return;
    }
    const quadrant = quarters & 3;
    const swapped = (quadrant & 1) === 1;
    const first = swapped ? c : s;
    const second = swapped ? s : c;
    this.sine = quadrant >= 2 ? -first : first;
    this.cosine = quadrant === 1 || quadrant === 2 ? -second : second;
  }
}
