import { gzipSync, strToU8 } from 'fflate';
import { base64 } from '../display/base64';
import { tables } from '../light/tables';

/**
 * The bench's own program as `live` sends it: packed together with the tables of light, with a few lines that unpack it once
 * for all benches of a notebook. A browser that cannot unpack leaves the picture.
 *
 * @param program as the build makes it, which finds the tables by the name `multislitTables`
 */
export function benchScript(program: string): string {
  const whole = `const multislitTables = ${JSON.stringify(tables)};\n${program}`;
  const packed = base64(gzipSync(strToU8(whole), { level: 9, mtime: new Date(1980, 0, 1) }));
  return `(async () => {
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
