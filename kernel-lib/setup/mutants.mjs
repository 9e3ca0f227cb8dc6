// `npm run mutants -- [--concurrency N] [--again] FOLDER or FOLDER/FILE.ts …`: are faults put into the code found by
// its own tests? Needs the registry once; what it installs and writes lies in .build/mutants/.
import './node-version.mjs';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { runNpm } from './install.mjs';
import { root } from './places.mjs';
import { runTool } from './run-tool.mjs';

/** Percent of mutants that the tests must kill. */
const floor = 80;
/** The newest that runs on the oldest Node that package.json allows. */
const version = '9.6.1';
const tools = ['@stryker-mutator/core', '@stryker-mutator/vitest-runner'];
const home = join(root, '.build', 'mutants');
const notMutated = 'kernel-lib/setup/not-mutated.mjs';

async function installTools() {
  const isThere = tools.every((name) => {
    const manifest = join(home, 'node_modules', name, 'package.json');
    return existsSync(manifest) && JSON.parse(readFileSync(manifest, 'utf8')).version === version;
  });
  if (isThere) return;
  console.error(`Installing Stryker ${version} into .build/mutants/ (once) …`);
  mkdirSync(home, { recursive: true });
  writeFileSync(join(home, 'package.json'), '{ "private": true }\n');
  // Vitest, which they ask for as a peer, is found in the project's own node_modules.
  const flags = ['--legacy-peer-deps', '--no-audit', '--no-fund', '--loglevel=error'];
  await runNpm(['install', ...flags, ...tools.map((name) => `${name}@${version}`)], home);
}

/** What the arguments ask for: files of kernel-lib/, each as `folder/name.ts`. */
export function filesOf(args) {
  return args.flatMap((arg) => {
    const path = arg.replaceAll('\\', '/').replace(/^(?:\.\/)?kernel-lib\//, '');
    const place = join(root, 'kernel-lib', path);
    if (!/^\w[\w-]*(?:\/[\w-]+)*(?:\/|\.ts)?$/.test(path) || !existsSync(place))
      throw new Error(
        `There is no kernel-lib/${path}. Name a folder such as aperture or a file such as aperture/orders.ts.`,
      );
    return path.endsWith('.ts') ? [path] : scriptsIn(place, path.replace(/\/$/, ''));
  });
}

/** The TypeScript files in a folder and those below it, each after the folder's own name. */
const scriptsIn = (place, name) =>
  readdirSync(place, { recursive: true })
    .filter((file) => file.endsWith('.ts'))
    .map((file) => `${name}/${file.replaceAll('\\', '/')}`)
    .sort();

/** The folder's own tests, what they share, and those that hold it against outside sources. */
function testsOf(folder) {
  const own = scriptsIn(join(root, 'tests', folder), `tests/${folder}`);
  const outside = scriptsIn(join(root, 'tests', 'reference'), 'tests/reference');
  return [...own, ...outside.filter((name) => name.startsWith(`tests/reference/${folder}-`))];
}

/** Changes when a source or a test of the folder does, or what becomes a mutant, or how it is tried. */
function digestOf(folder) {
  const sources = filesOf([folder]).map((name) => `kernel-lib/${name}`);
  const hash = createHash('sha256');
  const means = ['tests/mutants.config.ts', 'tests/mutants.setup.ts', notMutated];
  for (const name of [...sources, ...testsOf(folder), ...means])
    hash.update(name).update(readFileSync(join(root, name)));
  return hash.digest('hex');
}

/** Counted as Stryker does: what did not even run, or is left out, is neither killed nor alive. */
function countsOf({ mutants }) {
  const count = (...states) => mutants.filter(({ status }) => states.includes(status)).length;
  const killed = count('Killed', 'Timeout');
  return { killed, timedOut: count('Timeout'), all: killed + count('Survived', 'NoCoverage') };
}

/** The mutants that no test noticed, for people: where, what stood there, what stood there instead. */
function survivorsOf({ source, mutants }) {
  const lines = source.split('\n');
  return mutants
    .filter(({ status }) => status === 'Survived' || status === 'NoCoverage')
    .map(({ location: { start, end }, replacement, status, mutatorName }) => {
      const was = lines.slice(start.line - 1, end.line);
      const place = `${start.line}:${start.column} ${mutatorName}${status === 'NoCoverage' ? ', not run by any test' : ''}`;
      return `${place}\n${was.map((line) => `-   ${line}`).join('\n')}\n+   ${replacement}\n`;
    })
    .join('\n');
}

function settings(file, at, concurrency) {
  const isTerminal = process.stdout.isTTY;
  return {
    mutate: [`kernel-lib/${file}`],
    plugins: ['@stryker-mutator/vitest-runner', `./${notMutated}`],
    ignorers: ['sentences'],
    testRunner: 'vitest',
    vitest: { configFile: 'tests/mutants.config.ts', related: false },
    coverageAnalysis: 'perTest',
    ignoreStatic: true,
    checkers: [],
    concurrency,
    incremental: true,
    incrementalFile: `${at}.incremental.json`,
    ignorePatterns: ['.build'],
    tempDirName: '.build/mutants/tmp',
    cleanTempDir: 'always',
    logLevel: 'error',
    reporters: isTerminal ? ['json', 'progress'] : ['json'],
    jsonReporter: { fileName: `${at}.report.json` },
  };
}

/** The counts of one file, kept when nothing has changed since. */
async function tryMutantsOf(file, { concurrency, again }) {
  const [folder] = file.split('/');
  const at = `.build/mutants/${file.replace(/\.ts$/, '')}`;
  const kept = join(root, `${at}.json`);
  const digest = digestOf(folder);
  if (again) rmSync(join(root, `${at}.incremental.json`), { force: true });
  else if (existsSync(kept)) {
    const { digest: before, ...counts } = JSON.parse(readFileSync(kept, 'utf8'));
    if (before === digest) return counts;
  }
  mkdirSync(dirname(kept), { recursive: true });
  writeFileSync(
    join(home, 'stryker.json'),
    JSON.stringify(settings(file, at, concurrency), null, 2),
  );
  const args = ['run', '.build/mutants/stryker.json'];
  const tests = testsOf(folder).filter((name) => name.endsWith('.test.ts'));
  const code = await runTool(tools[0], 'stryker', args, {
    from: home,
    env: { ...process.env, MUTANTS_TESTS: tests.join(',') },
  });
  if (code !== 0) throw new Error(`Stryker ended with ${code} at kernel-lib/${file}, see above.`);
  const report = JSON.parse(readFileSync(join(root, `${at}.report.json`), 'utf8'));
  const result = report.files[`kernel-lib/${file}`] ?? { source: '', mutants: [] };
  const counts = countsOf(result);
  writeFileSync(join(root, `${at}.survivors.txt`), survivorsOf(result));
  writeFileSync(kept, `${JSON.stringify({ ...counts, digest })}\n`);
  return counts;
}

const line = (name, { killed, timedOut, all }) =>
  `${name.padEnd(36)} ${String(killed).padStart(5)} of ${String(all).padStart(5)} killed ${
    all > 0 ? `${((100 * killed) / all).toFixed(1).padStart(6)} %` : '      –'
  }${timedOut > 0 ? `, ${timedOut} by the time they took` : ''}`;

async function main(args) {
  const again = args.includes('--again');
  const at = args.indexOf('--concurrency');
  const concurrency = at >= 0 ? Number(args[at + 1]) : 1;
  if (!Number.isInteger(concurrency) || concurrency < 1)
    throw new Error(
      '--concurrency needs a whole number from 1: npm run mutants -- --concurrency 2 aperture',
    );
  const names = args.filter((arg, i) => arg !== '--again' && (at < 0 || i < at || i > at + 1));
  if (names.length === 0) throw new Error('Say what to mutate: npm run mutants -- aperture');
  const files = filesOf(names);
  const { installIfMissing } = await import('./install.mjs');
  await installIfMissing();
  await installTools();
  rmSync(join(home, 'tmp'), { recursive: true, force: true });
  const total = { killed: 0, timedOut: 0, all: 0 };
  for (const file of files) {
    const counts = await tryMutantsOf(file, { concurrency, again });
    for (const key of Object.keys(total)) total[key] += counts[key];
    console.log(line(file, counts));
  }
  console.log(`\n${line('all', total)}\nWho lived: .build/mutants/FOLDER/FILE.survivors.txt`);
  if (total.killed < (floor / 100) * total.all)
    throw new Error(`Fewer than ${floor} % were killed.`);
}

try {
  await main(process.argv.slice(2));
} catch (error) {
  console.error(error.message);
  process.exitCode = 1;
}
