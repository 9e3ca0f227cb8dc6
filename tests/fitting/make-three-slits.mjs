// Computes data/three-slits.png anew: node tests/fitting/make-three-slits.mjs, from the project's root.
import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';

const root = fileURLToPath(new URL('../..', import.meta.url));
const bundle = join(root, '.build', 'make-three-slits.mjs');
await build({
  entryPoints: [join(root, 'tests', 'fitting', 'three-slits.ts')],
  bundle: true,
  format: 'esm',
  platform: 'node',
  outfile: bundle,
});
const { threeSlitsPicture } = await import(pathToFileURL(bundle).href);
const bytes = threeSlitsPicture();
writeFileSync(join(root, 'data', 'three-slits.png'), bytes);
rmSync(bundle);
console.log(`data/three-slits.png: ${bytes.length} bytes`);
