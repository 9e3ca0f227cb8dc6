import {
  type Cell,
  type CodeCell,
  type Notebook,
  type Output,
  originalWithWork,
  sourceOf,
  tagOf,
  takesWork,
} from '../../notebook/notebook';
import { changeSaid } from '../changed-marks';
import type { QuestionMark } from '../judge-return';
import { type MarkRecord, marksOf, metWord, verdictWord } from '../record';
import { type CellOutput, type CellReport, plainText } from '../run-report';

const markSaid = ({ state, marks, outOf }: QuestionMark) =>
  `${state === 'to be read' ? '–' : marks} of ${outOf}`;

const verdictSaid = (mark: QuestionMark) => {
  const { question, marks, message, remark, changed, ticks = [] } = mark;
  const met = ticks.map((one) => `${metWord(one)}, ${one.marks} of ${one.outOf}: ${one.point}`);
  const told = [message, ...met, ...(remark === undefined ? [] : [remark])].join('\n');
  const said = changed ? `${changeSaid(marks, changed)}\nBefore that: ${told}` : told;
  const word = verdictWord(mark);
  return `${question}  ${word && `${word} `}${markSaid(mark)} marks.\n${said}`;
};

/**
 * A return as it ran: the sheet's own cells, the student's work laid in, what the locked-down run printed and
 * showed, and the verdicts.
 *
 * Outputs are plain text and PNG pictures. Those of answer cells are verdicts made from `record`, whatever the run
 * said. No metadata of the return is kept.
 *
 * @param original the sheet
 * @param returned what the student wrote
 * @param record with the outputs of its cells
 * @param state a digest that stands at the head of the file, to tell whether it is still true
 */
export function executedNotebook(
  original: Notebook,
  returned: Notebook,
  record: MarkRecord,
  state: string,
): Notebook {
  const told = new Map(record.cells.map((cell) => [cell.id, cell]));
  const verdicts = new Map(record.questions.map((mark) => [mark.question, mark]));
  const known = new Set(original.cells.map(({ id }) => id));
  let added = 0;
  let count = 0;
  const cells = originalWithWork(original, returned).cells.flatMap((cell): Cell[] => {
    const isOurs = known.has(cell.id);
    if (!isOurs) added += 1;
    const id = isOurs ? cell.id : `own-${added}`;
    const source = isOurs && !takesWork(cell) ? cell.source : plainText(sourceOf(cell), Infinity);
    const mark = isOurs ? tagOf(cell) : undefined;
    const verdict = mark?.question === undefined ? undefined : verdicts.get(mark.question);
    const metadata = mark ? { multislit: mark } : {};
    if (cell.cell_type === 'code') {
      count += 1;
      const outputs =
        mark?.role === 'answer'
          ? [...errorOf(told.get(cell.id)), ...(verdict ? [verdictOutput(verdict)] : [])]
          : outputsOf(told.get(cell.id), count);
      return [{ cell_type: 'code', id, source, metadata, execution_count: count, outputs }];
    }
    if (mark?.role !== 'written')
      return [{ cell_type: isOurs ? cell.cell_type : writtenType(source), id, source, metadata }];
    const text: Cell = { cell_type: writtenType(source), id, source, metadata };
    return verdict ? [text, rawCell(`${id}-verdict`, verdictSaid(verdict))] : [text];
  });
  const { kernelspec, language_info } = original.metadata;
  return {
    metadata: {
      multislit: { state, sheet: record.sheet, student: record.student },
      kernelspec,
      language_info,
    },
    nbformat: 4,
    nbformat_minor: 5,
    cells: [headCell(record), ...cells],
  };
}

/** Text with links, pictures or markup is laid in as it was typed: nothing is fetched when somebody opens it. */
const writtenType = (source: string | string[]) =>
  /<[a-z/!?]|!\[|\]\s*[([:]/i.test([source].flat().join('')) ? 'raw' : 'markdown';

const rawCell = (id: string, source: string): Cell => ({
  cell_type: 'raw',
  id,
  source: plainText(source, Infinity),
  metadata: {},
});

/** Numbers and fixed words only. */
function headCell(record: MarkRecord): Cell {
  const { student, sheet, questions, failure } = record;
  const outOf = questions.reduce((sum, one) => sum + one.outOf, 0);
  const lines = [
    `# ${sheet}, student ${student}: ${marksOf(record)} of ${outOf} marks`,
    'The return as it ran when it was marked. Verdicts stand below the answer cells and in this table; what is printed anywhere else comes from the code in the cells. Figures of the sheet itself are not drawn here.',
    ...(failure === undefined ? [] : [`The sheet did not run: ${failure}`]),
    [
      '| question | verdict | marks |\n|---|---|---|',
      ...questions.map(
        (mark) =>
          `| ${mark.question} | ${mark.changed ? 'Changed by a person.' : verdictWord(mark) || 'Read by a person.'} | ${markSaid(mark)} |`,
      ),
    ].join('\n'),
  ];
  return { cell_type: 'markdown', id: 'as-marked', source: lines.join('\n\n'), metadata: {} };
}

const verdictOutput = (mark: QuestionMark): Output => ({
  output_type: 'display_data',
  data: { 'text/plain': plainText(verdictSaid(mark), 4000) },
  metadata: {},
});

function outputsOf(cell: CellReport | undefined, count: number): Output[] {
  const outputs = (cell?.outputs ?? []).map((one) => outputOf(one, count));
  return [...outputs, ...errorOf(cell)];
}

function outputOf(one: CellOutput, execution_count: number): Output {
  if (one.is === 'printed') return { output_type: 'stream', name: one.name, text: one.text };
  const data = {
    ...(one.png === undefined ? {} : { 'image/png': one.png }),
    'text/plain': one.text,
  };
  return one.is === 'shown'
    ? { output_type: 'display_data', data, metadata: {} }
    : { output_type: 'execute_result', data, metadata: {}, execution_count };
}

function errorOf(cell: CellReport | undefined): CodeCell['outputs'] {
  if (!cell?.error) return [];
  const { name, message, line } = cell.error;
  const at = line === undefined ? [] : [`in line ${line} of this cell`];
  return [
    {
      output_type: 'error',
      ename: name,
      evalue: message,
      traceback: [`${name}: ${message}`, ...at],
    },
  ];
}
