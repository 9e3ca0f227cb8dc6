export { arrayFactor } from '../../kernel-lib/aperture/array-factor';
export { gaussLegendre } from '../../kernel-lib/numerics/gauss-legendre';
export { murmur3 } from '../../kernel-lib/numerics/murmur3';
export { portableLog } from '../../kernel-lib/numerics/portable-log';
export { cosPi, sinPi } from '../../kernel-lib/numerics/sin-pi';
export { sincCurvature, sincSlope } from '../../kernel-lib/numerics/sinc';
export { xoshiro128 } from '../../kernel-lib/numerics/xoshiro128';
