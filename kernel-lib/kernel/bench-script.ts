import { existsSync, readFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import { built } from './home';

let packed: string | undefined;

/** The bench's own script as `live` sends it: gzip, base64. Undefined before the first build. */
export function benchScript(): string | undefined {
  const file = built('bench-cell.js');
  if (packed === undefined && existsSync(file))
    packed = gzipSync(readFileSync(file), { level: 9 }).toString('base64');
  return packed;
}
