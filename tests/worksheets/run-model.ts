import { transformSync } from 'esbuild';
import * as multislit from '../../kernel-lib/index';

/**
 * Runs model answers one after the other, as a notebook would, and returns one of the names they define.
 * Figures are made but not shown, nothing is printed.
 */
export function runModel(
  model: Readonly<Record<string, string>>,
  questions: readonly string[],
  name: string,
  scope: Readonly<Record<string, unknown>>,
  // biome-ignore lint/suspicious/noExplicitAny: a cell may define anything
): any {
  const source = questions.map((id) => model[`${id.replace('.', '-')}-work`]).join('\n');
  const { code } = transformSync(source, { loader: 'ts' });
  const quiet = { show: () => {}, console: { log: () => {} } };
  const inside: Record<string, unknown> = { ...multislit, ...quiet, ...scope };
  return new Function(...Object.keys(inside), `${code}\nreturn ${name};`)(...Object.values(inside));
}
