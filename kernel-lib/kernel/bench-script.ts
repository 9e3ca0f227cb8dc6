import { existsSync, readFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import { built } from './home';

let script: string | undefined;

/**
 * The bench's own script as `live` sends it: packed, with a few lines that unpack it once for all
 * benches of a notebook. A browser that cannot unpack leaves the picture. Undefined before the first build.
 */
export function benchScript(): string | undefined {
  const file = built('bench-cell.js');
  if (script === undefined && existsSync(file)) {
    const packed = gzipSync(readFileSync(file), { level: 9 }).toString('base64');
    script = `(async () => {
if (typeof DecompressionStream !== 'function') return;
if (!globalThis.multislitBench) {
const bytes = Uint8Array.from(atob("${packed}"), (letter) => letter.charCodeAt(0));
const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'));
const source = await new Response(stream).text();
if (!globalThis.multislitBench) new Function(source)();
}
globalThis.multislitBench.mountAll();
})();`;
  }
  return script;
}
