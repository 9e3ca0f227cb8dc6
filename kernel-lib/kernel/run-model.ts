import { dirname } from 'node:path';
import {
  codeCells,
  type Notebook,
  sourceOf,
  studentNumberCell,
  withSources,
} from '../notebook/notebook';
import { type PlainAnswer, plainAnswer } from '../questions/answer';
import { samplingOf } from '../questions/judge';
import type { ModelRun } from '../questions/prove';
import type { AnyKey, AnyOpenQuestion } from '../questions/sheet';
import { nodeRuntime } from './node-host';
import { nodeConverter, nodeSession } from './node-session';

const slot = Symbol.for('multislit.proving');
/** The same text for every student, so that each cell is converted once for all of them. */
const numberCell = `const studentNumber: string = (globalThis as any)[Symbol.for('multislit.proving')];`;

/**
 * Runs a sheet with other sources in its cells, such as the model answers, for one student after another in
 * this process. Only for sheets and keys of one's own: what runs here is not locked down.
 *
 * @param forms each question in its open form, so that functions can be sampled
 */
export function modelRunner(
  key: AnyKey,
  original: Notebook,
  path: string,
  forms: readonly AnyOpenQuestion[],
  sources: Readonly<Record<string, string>>,
): (student: string, given: object) => Promise<ModelRun> {
  const cwd = dirname(path);
  const converter = nodeConverter(cwd);
  const cells = codeCells(withSources(original, { ...sources, [studentNumberCell]: numberCell }));
  const library = nodeRuntime().library.names();
  return async (student, given) => {
    library.setDisplayPort({ silent: true, show() {} });
    (globalThis as Record<symbol, unknown>)[slot] = student;
    const session = nodeSession({ cwd, converter, onOutput() {} });
    const failed: string[] = [];
    for (const cell of cells) {
      const { error } = await session.run(sourceOf(cell));
      if (error) failed.push(`cell ${cell.id}: ${error.ename}: ${error.evalue}`);
    }
    const work = library.workNow();
    const own = work?.student === student && work.sheet.name === key.sheet.name;
    if (!own) failed.push('the sheet was not begun');
    const answers = new Map<string, PlainAnswer>();
    for (const question of forms) {
      const answer = own ? work.answers.get(question.id) : undefined;
      answers.set(question.id, plainAnswer(answer, samplingOf(question, given)));
    }
    library.endWork();
    return { answers, failed };
  };
}
