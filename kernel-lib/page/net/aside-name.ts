/** `02-one-slit.ipynb` put aside at 14:02:07 becomes `02-one-slit put aside 2026-11-25 14.02.07.ipynb`. */
export function asideName(path: string, at: Date): string {
  const two = (value: number) => String(value).padStart(2, '0');
  const day = [at.getFullYear(), two(at.getMonth() + 1), two(at.getDate())].join('-');
  const time = [at.getHours(), at.getMinutes(), at.getSeconds()].map(two).join('.');
  return path.replace(/(\.ipynb)?$/, ` put aside ${day} ${time}.ipynb`);
}
