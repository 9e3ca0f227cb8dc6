// What `npm run mutants` runs against each mutant; MUTANTS_TESTS names the tests (kernel-lib/setup/mutants.mjs).
import { join, relative } from 'node:path';
import { build } from 'esbuild';
import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';
import plain from './vitest.config';

/** Quick files first: the first failure ends a run, and most mutants fall at once. */
class QuickFirst extends BaseSequencer {
  private readonly times = new Map<string, number>();

  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const { root } = this.ctx.config;
    const time = ({ moduleId, project }: TestSpecification) => {
      const last = this.ctx.cache.getFileTestResults(`${project.name}:${relative(root, moduleId)}`);
      if (last && !this.times.has(moduleId)) this.times.set(moduleId, last.duration);
      return this.times.get(moduleId) ?? 0;
    };
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
    include: (process.env.MUTANTS_TESTS ?? '').split(','),
    // One worker and one copy of the modules serve all files of a run; the next mutant gets a new one.
    isolate: false,
    maxWorkers: 1,
    sequence: { sequencer: QuickFirst },
  },
});
