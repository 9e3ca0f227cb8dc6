// What `npm run mutants` runs against each mutant; MUTANTS_TESTS names the tests (kernel-lib/setup/mutants.mjs).
import { join } from 'node:path';
import { build } from 'esbuild';
import { defineConfig } from 'vitest/config';
import { BaseSequencer, type Reporter, type TestSpecification } from 'vitest/node';
import plain from './vitest.config';

/** What each file took when it ran first, loading included, ms. */
const times = new Map<string, number>();
const clock: Reporter = {
  onTestModuleEnd(file) {
    const { collectDuration, duration } = file.diagnostic();
    if (!times.has(file.moduleId)) times.set(file.moduleId, collectDuration + duration);
  },
};

/** Quick files first: the first failure ends a run, and most mutants fall at once. */
class QuickFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const time = ({ moduleId }: TestSpecification) => times.get(moduleId) ?? 0;
    return [...files].sort((a, b) => time(a) - time(b));
  }
}

/** All of mathjs takes longer to load than most tests run; the library uses one factory of it, as in the build. */
const onlyUnits = {
  name: 'only-units',
  enforce: 'pre' as const,
  resolveId: (id: string, importer = '') =>
    id === 'mathjs' && /kernel-lib.quantity/.test(importer) ? '\0mathjs-units' : null,
  async load(id: string) {
    if (id !== '\0mathjs-units') return null;
    const made = await build({
      stdin: { contents: "export { createUnitClass } from 'mathjs'", resolveDir: plain.root },
      bundle: true,
      format: 'esm',
      write: false,
    });
    return made.outputFiles[0].text;
  },
};

export default defineConfig({
  ...plain,
  plugins: [...(plain.plugins ?? []), onlyUnits],
  cacheDir: join(plain.root ?? '', '.cache'),
  test: {
    ...plain.test,
    // The one folder under test is one project.
    projects: undefined,
    include: (process.env.MUTANTS_TESTS ?? '').split(','),
    // One worker and one copy of the modules serve all files of a run; the next mutant gets a new one.
    isolate: false,
    maxWorkers: 1,
    reporters: [clock],
    setupFiles: ['tests/mutants.setup.ts'],
    sequence: { sequencer: QuickFirst },
  },
});
