/** Finds the bench's own script, packed with gzip and written in base64. */
export type FindBenchScript = () => string | undefined;

let find: FindBenchScript | undefined;

/** Say where `live` finds the script that makes its picture a bench in any notebook. The kernel brings it. */
export function setBenchScript(next: FindBenchScript | undefined): void {
  find = next;
}

/**
 * HTML of a bench: the picture, and the script that puts the bench in its place. Where scripts do not
 * run, or the browser cannot unpack it, the picture stays.
 */
export function benchHtml(address: string, picture: string): string {
  const script = find?.();
  const frame = `<div data-multislit-bench="${address.replace(/&/g, '&amp;')}">${picture}</div>`;
  if (script === undefined || !/^[A-Za-z0-9+/=]+$/.test(script)) return frame;
  return `${frame}<script>(async () => {
if (typeof DecompressionStream !== 'function') return;
if (!globalThis.multislitBench) {
const bytes = Uint8Array.from(atob("${script}"), (letter) => letter.charCodeAt(0));
const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'));
const source = await new Response(stream).text();
if (!globalThis.multislitBench) new Function(source)();
}
globalThis.multislitBench.mountAll();
})();</script>`;
}
