import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

/** Programs from outside npm that some tests stand on, and how a person gets them. */
const parts = {
  chromium: { mend: 'apt-get install chromium', find: findChromium },
  jupyter: { mend: 'apt-get install jupyter-nbconvert python3-nbclient', find: findJupyter },
  notebook: {
    mend: 'apt-get install jupyter-notebook',
    find: () => findJupyterPart('jupyter-notebook'),
  },
  jupyterhub: {
    mend: 'apt-get install jupyterhub',
    find: () => findOnPath('configurable-http-proxy') && findOnPath('jupyterhub'),
  },
  'kernel-test': {
    mend: 'apt-get install python3-jupyter-kernel-test',
    find: () => findPython('jupyter_kernel_test'),
  },
  scipy: { mend: 'apt-get install python3-scipy', find: () => findPython('scipy') },
  pdftotext: { mend: 'apt-get install poppler-utils', find: () => findOnPath('pdftotext') },
  firefox: {
    mend: 'apt-get install firefox-esr',
    find: () => findOnPath('firefox-esr') ?? findOnPath('firefox'),
  },
  webkit: {
    mend: 'apt-get install webkit2gtk-driver xvfb',
    find: () => findOnPath('Xvfb') && findOnPath('WebKitWebDriver'),
  },
  bwrap: { mend: 'apt-get install bubblewrap', find: () => findOnPath('bwrap') },
} as const;

export type Part = keyof typeof parts;

function findOnPath(name: string): string | undefined {
  const looked = spawnSync(process.platform === 'win32' ? 'where' : 'which', [name], {
    encoding: 'utf8',
  });
  return looked.status === 0 ? looked.stdout.split(/\r?\n/)[0] : undefined;
}

function findChromium(): string | undefined {
  return [
    '/usr/bin/chromium',
    '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
    'C:/Program Files/Google/Chrome/Application/chrome.exe',
    'C:/Program Files (x86)/Microsoft/Edge/Application/msedge.exe',
  ].find((path) => existsSync(path));
}

/** Debian's own python first: another python on the path may lack Debian's modules. */
function findPython(module: string): string | undefined {
  return ['/usr/bin/python3', 'python3', 'python'].find(
    (python) => spawnSync(python, ['-c', `import ${module}`]).status === 0,
  );
}

function findJupyter(): string | undefined {
  return existsSync('/usr/bin/jupyter') ? '/usr/bin/jupyter' : findOnPath('jupyter');
}

/** Debian's `jupyter`, when the program that it calls for this part is there. */
function findJupyterPart(program: string): string | undefined {
  return findOnPath(program) && findJupyter();
}

const found = new Map<Part, string | undefined>();

/**
 * Where `part` lies, or why tests that need it are skipped. In CI a missing part is an error, so that
 * nothing is skipped there unseen. Use: `const { path, skip } = needs('chromium'); test.skipIf(skip)(…)`.
 */
export function needs(part: Part): { path: string; skip: false } | { path: ''; skip: string } {
  if (!found.has(part)) found.set(part, parts[part].find());
  const path = found.get(part);
  if (path) return { path, skip: false };
  const why = `${part} is not on this machine (Debian: ${parts[part].mend})`;
  if (process.env.CI) throw new Error(`${why}; CI must have it: see .ci/run`);
  console.warn(`Skipped: ${why}`);
  return { path: '', skip: why };
}
