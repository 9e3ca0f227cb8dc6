import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';

/** All files of a folder with what they hold, by path; codes of written answers are made anew for each folder. */
function filesOf(folder: string): Map<string, string> {
  const files = readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)))
    .sort();
  return new Map(
    files.map((file) => {
      const isCoded = file.startsWith('written');
      return [file, isCoded ? '' : readFileSync(join(folder, file), 'utf8')];
    }),
  );
}

/** Names of files that only one folder has, or that hold something else in the other. */
export function filesThatDiffer(one: string, other: string): string[] {
  const [files, others] = [filesOf(one), filesOf(other)];
  const names = [...new Set([...files.keys(), ...others.keys()])];
  return names.filter((name) => files.get(name) !== others.get(name));
}
