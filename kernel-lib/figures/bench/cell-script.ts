/** Finds the script that puts the bench in place of its picture: complete in itself, fetching nothing. */
export type FindBenchScript = () => string | undefined;

let find: FindBenchScript | undefined;

/**
 * Say where `live` finds the script that makes its picture a bench in any notebook. The kernel brings it.
 *
 * @example
 * setBenchScript(() => 'startBench()');
 * live({ slits: 2 })[asBundle]()['text/html'].endsWith('<script>startBench()</script>') // true
 */
export function setBenchScript(next: FindBenchScript | undefined): void {
  find = next;
}

/** HTML of a bench: the picture, and the script after it. Where scripts do not run the picture stays. */
export function benchHtml(address: string, picture: string): string {
  const frame = `<div data-multislit-bench="${address.replace(/&/g, '&amp;')}">${picture}</div>`;
  const script = find?.();
  return script === undefined ? frame : `${frame}<script>${script}</script>`;
}
