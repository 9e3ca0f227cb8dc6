// `npm run bench [-- --json FILE] [NAME …]`: every bench of tests/bench, ratios against a baseline in the same run.
import './node-version.mjs';
import { readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build as buildAll, isStale } from './build.mjs';
import { forBench } from './bundles.mjs';
import { root } from './places.mjs';

const folder = join(root, '.build', 'bench');

function figures(seconds) {
  if (seconds >= 1) return `${seconds.toFixed(2)} s`;
  return seconds >= 1e-3 ? `${(seconds * 1e3).toFixed(2)} ms` : `${(seconds * 1e6).toFixed(1)} µs`;
}

function row({ name, ours, baseline, ratio, aim, note }) {
  const met = aim === undefined ? '' : ratio >= aim ? `aim ${aim}: met` : `aim ${aim}: NOT met`;
  const head = `${name.padEnd(20)} ours ${figures(ours).padStart(10)}   baseline ${figures(baseline).padStart(10)}`;
  return `${head}   ratio ${ratio.toFixed(2).padStart(7)}   ${met}${note ? `\n    ${note.replaceAll('\n', '\n    ')}` : ''}`;
}

async function main(args) {
  const at = args.indexOf('--json');
  const file = at >= 0 ? args.splice(at, 2)[1] : undefined;
  if (at >= 0 && !file) throw new Error('--json needs a file name: npm run bench -- --json FILE');
  if (isStale()) await buildAll();
  const { build } = await import('esbuild');
  const names = readdirSync(join(root, 'tests', 'bench'))
    .filter((name) => name.endsWith('.ts'))
    .map((name) => name.slice(0, -3))
    .filter((name) => args.length === 0 || args.includes(name));
  if (names.length === 0) throw new Error(`No bench is called ${args.join(', ')}.`);
  rmSync(folder, { recursive: true, force: true });
  await build(forBench(names, folder));
  const rows = [];
  for (const name of names) {
    const { default: bench } = await import(pathToFileURL(join(folder, `${name}.mjs`)).href);
    if (typeof bench !== 'function') continue;
    for (const result of [await bench()].flat()) {
      rows.push(result);
      console.log(row(result));
    }
  }
  if (file) writeFileSync(file, `${JSON.stringify(rows, null, 2)}\n`);
}

try {
  await main(process.argv.slice(2));
} catch (error) {
  console.error(error.message);
  process.exitCode = 1;
}
