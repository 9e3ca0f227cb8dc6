import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import type * as Library from '../../kernel-lib/index';

const worksheets = fileURLToPath(new URL('../../worksheets/', import.meta.url));
export const guide = readFileSync(`${worksheets}README.md`, 'utf8');

/** A block of the guide: the code under a line that names its file in bold. */
export function block(file: string): string {
  const at = guide.indexOf(`**${file}**`);
  // A block that holds code blocks has a longer fence.
  const found = at < 0 ? null : /(`{3,})\w+\n([\s\S]*?)\n\1(?!`)/.exec(guide.slice(at));
  if (!found) throw new Error(`worksheets/README.md has no block for ${file}`);
  return `${found[2]}\n`;
}

export type Files = Readonly<Record<string, string>>;

/** The example's files as the guide prints them. */
export const example = (): Files =>
  Object.fromEntries(
    ['sheet.ts', 'key.ts', 'sheet.md'].map((file) => [file, block(`08-a-hair/${file}`)]),
  );

/** Lay the files out as a folder of worksheets/ would be; returns the sheet's folder. */
export function layOut(files: Files): string {
  const root = mkdtempSync(join(tmpdir(), 'new sheet '));
  const folder = join(root, 'worksheets', '08-a-hair');
  mkdirSync(folder, { recursive: true });
  copyFileSync(`${worksheets}sample-answers.ts`, join(root, 'worksheets', 'sample-answers.ts'));
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  return folder;
}

/** Bundle one file of the folder as the project's build does, and load it with this instance of the library. */
export async function loadFrom<Value>(
  folder: string,
  file: string,
  library: typeof Library,
): Promise<Value> {
  const { outputFiles } = await build({
    entryPoints: [join(folder, file)],
    bundle: true,
    write: false,
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    external: ['multislit'],
    logLevel: 'silent',
  });
  const module = { exports: {} as { default: Value } };
  new Function('module', 'exports', 'require', outputFiles[0].text)(
    module,
    module.exports,
    () => library,
  );
  return module.exports.default;
}
