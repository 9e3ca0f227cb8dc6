import MarkdownIt from 'markdown-it';
import { type Cell, type Notebook, type Role, sourceOf, studentNumberCell } from './notebook';

/*
 * A sheet as its author writes it: one Markdown file, of which the notebook is made. Headings and code blocks say all
 * that a notebook keeps in ids and metadata:
 *
 * - `# Title` opens the sheet; the first code block holds the student number, the next what is given.
 * - `## Look` begins a part. A code block in a part that asks nothing is locked, as what is given is.
 * - `### 2.1 Where …` asks a question. Its code blocks are for the student's work; the one with `check('2.1', …)` hands
 *   in. What is said of a question ends where the next heading begins.
 * - Code that is only to be read stands in a block named `typescript`, or not named.
 * - The last paragraph of a written question is what stands in the field for its answer.
 */

/** What a sheet asks, as far as its text depends on it. */
export interface Asked {
  readonly id: string;
  readonly kind: string;
}

/** A text that cannot become a sheet; `line` counts from 1. */
export class SheetTextError extends Error {
  override name = 'SheetTextError';

  constructor(
    readonly line: number,
    what: string,
  ) {
    super(what);
  }
}

/** A piece of the text that stays together, from the line `from` to before `to`; lines count from 0. */
interface Piece {
  readonly is: 'heading' | 'code' | 'text';
  readonly from: number;
  readonly to: number;
  /** Of a heading. */
  readonly level: number;
  /** The heading's words, or the code. */
  readonly holds: string;
}

const markdown = new MarkdownIt('commonmark');

function piecesOf(lines: readonly string[]): Piece[] {
  const tokens = markdown.parse(lines.join('\n'), {});
  const pieces: Piece[] = [];
  for (const [i, { level, nesting, type, map, info, content, tag }] of tokens.entries()) {
    if (level !== 0 || nesting === -1 || !map) continue;
    const [from, to] = map;
    const isCode = type === 'fence' && info.trim() === 'ts';
    // A line of = under a formula would make a heading of it.
    const isHeading = type === 'heading_open' && /^ {0,3}#/.test(lines[from]);
    pieces.push({
      is: isCode ? 'code' : isHeading ? 'heading' : 'text',
      from,
      to,
      level: isHeading ? Number(tag.slice(1)) : 0,
      holds: isHeading ? tokens[i + 1].content : isCode ? content.replace(/\n$/, '') : '',
    });
  }
  return pieces;
}

/** A heading as a part of ids: `What comes next?` is `what-comes-next`. */
const slug = (heading: string): string =>
  heading
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '') || 'part';

const questionHeading = /^(\d+\.\d+)(?:\s|$)/;
const checkLine = /^\s*check\(\s*(['"`])([^'"`]*)\1/m;

const languageOfCells = {
  kernelspec: { display_name: 'multislit', language: 'typescript', name: 'multislit' },
  language_info: { file_extension: '.ts', mimetype: 'text/typescript', name: 'typescript' },
};

/**
 * The notebook of a sheet.
 *
 * @param text the sheet's Markdown
 * @param sheet its name, such as `02-one-slit`
 * @param questions what the sheet asks; each stands in the text once, in this order
 * @throws {SheetTextError} where the text does not go with the questions
 */
export function notebookOfText(text: string, sheet: string, questions: readonly Asked[]): Notebook {
  const lines = text.replace(/\r\n?/g, '\n').split('\n');
  const cells: Cell[] = [];
  const ids = new Map<string, number>();
  const waiting = [...questions];
  let part = 'title';
  let asked: Asked | undefined;
  let run: Piece[] = [];
  /** Where the question's heading stands, and what came since. */
  let begun = { line: 0, isHandedIn: true };

  function add(wanted: string, role: Role, source: string): void {
    const before = ids.get(wanted) ?? 0;
    ids.set(wanted, before + 1);
    const id = before === 0 ? wanted : `${wanted}-${before + 1}`;
    const tag = { sheet, role, ...(asked && { question: asked.id }) };
    const isOpen = role === 'work' || role === 'written';
    const metadata = { multislit: tag, ...(!isOpen && { deletable: false, editable: false }) };
    cells.push(
      role === 'text' || role === 'written'
        ? { cell_type: 'markdown', id, metadata, source }
        : { cell_type: 'code', id, metadata, execution_count: null, outputs: [], source },
    );
  }

  const idOf = (rest: string) => (asked ? `${asked.id.replace('.', '-')}-${rest}` : part);
  const between = (from: number, to: number) => lines.slice(from, to).join('\n').trim();

  /** Close the stretch of text that is open. */
  function closeText(): void {
    if (run.length === 0) return;
    const source = between(run[0].from, run[run.length - 1].to);
    run = [];
    if (source) add(idOf('text'), 'text', source);
  }

  /** Close the question: the last paragraph of a written one is the field for its answer. */
  function closeQuestion(): void {
    if (asked?.kind === 'written') {
      const field = run.at(-1);
      if (field?.is !== 'text')
        throw new SheetTextError(
          begun.line + 1,
          `${asked.id} is answered in writing: end it with a paragraph of its own, such as *Write here.*, which stands in the field for the answer.`,
        );
      run = run.slice(0, -1);
      closeText();
      add(idOf('written'), 'written', between(field.from, field.to));
    } else {
      closeText();
      if (asked && !begun.isHandedIn)
        throw new SheetTextError(
          begun.line + 1,
          `${asked.id} is handed in nowhere: give it a code block with check('${asked.id}', …);`,
        );
    }
    asked = undefined;
  }

  function beginQuestion(id: string, from: number): void {
    const next = waiting.shift();
    if (next?.id !== id)
      throw new SheetTextError(
        from + 1,
        questions.some((one) => one.id === id)
          ? `${id} stands out of turn: ${next ? `the next question of sheet.ts is ${next.id}` : 'every question of sheet.ts has been asked'}.`
          : `sheet.ts has no question ${id}${next ? `; the next one is ${next.id}` : ''}.`,
      );
    asked = next;
    begun = { line: from, isHandedIn: next.kind === 'written' };
  }

  function addCode({ holds, from }: Piece): void {
    const checked = checkLine.exec(holds)?.[2];
    if (!asked) {
      if (checked !== undefined)
        throw new SheetTextError(
          from + 1,
          `check('${checked}', …) stands outside any question: put it under a heading ### ${checked} …`,
        );
      if (!ids.has(studentNumberCell)) {
        if (!/\bstudentNumber\b/.test(holds))
          throw new SheetTextError(
            from + 1,
            `The first code block holds the student number: const studentNumber = '000000';`,
          );
        add(studentNumberCell, 'work', holds);
      } else add(ids.has('given') ? `${part}-move` : 'given', 'given', holds);
    } else if (checked === undefined) add(idOf('work'), 'work', holds);
    else {
      if (checked !== asked.id)
        throw new SheetTextError(
          from + 1,
          `This code block hands in ${checked}, but stands under the heading of ${asked.id}.`,
        );
      if (asked.kind === 'written')
        throw new SheetTextError(
          from + 1,
          `${asked.id} is answered in writing; it has no check. See its kind in sheet.ts.`,
        );
      add(idOf('answer'), 'answer', holds);
      begun.isHandedIn = true;
    }
  }

  for (const piece of piecesOf(lines)) {
    const question = piece.is === 'heading' ? questionHeading.exec(piece.holds)?.[1] : undefined;
    if (question !== undefined && piece.level === 3) {
      // A part's own heading goes into the cell of its first question.
      const opening = asked === undefined && run[0]?.is === 'heading' && run[0].level === 2;
      if (!opening) closeQuestion();
      beginQuestion(question, piece.from);
      run.push(piece);
    } else if (piece.is === 'heading' && piece.level <= 2) {
      closeQuestion();
      if (piece.level === 2) part = slug(piece.holds);
      run.push(piece);
    } else if (piece.is === 'code') {
      closeText();
      addCode(piece);
    } else run.push(piece);
  }
  closeQuestion();
  if (waiting.length > 0)
    throw new SheetTextError(
      lines.length,
      `${waiting.map(({ id }) => id).join(', ')} of sheet.ts ${waiting.length > 1 ? 'are' : 'is'} not asked: each wants a heading such as ### ${waiting[0].id} …`,
    );
  for (const id of [studentNumberCell, 'given'])
    if (!ids.has(id))
      throw new SheetTextError(
        1,
        `Before the first question stand two code blocks: const studentNumber = '000000'; and one with begin('${sheet}', studentNumber).`,
      );
  return { cells, metadata: languageOfCells, nbformat: 4, nbformat_minor: 5 };
}

/** A code block, behind a fence that is longer than any within. */
function codeBlock(source: string): string {
  const longest = Math.max(
    2,
    ...[...source.matchAll(/^\s*(`+)/gm)].map(([, ticks]) => ticks.length),
  );
  const fence = '`'.repeat(longest + 1);
  return `${fence}ts\n${source}\n${fence}`;
}

/** Code that a text shows is not to be run: its fence says so by the language's whole name. */
const onlyRead = (text: string) => text.replace(/^( {0,3}`{3,})ts$/gm, '$1typescript');

/** The Markdown of a sheet's notebook: what `notebookOfText` makes this notebook of. Outputs stay behind. */
export function textOfNotebook({ cells }: Notebook): string {
  const blocks = cells.map((cell) =>
    cell.cell_type === 'code' ? codeBlock(sourceOf(cell)) : onlyRead(sourceOf(cell).trim()),
  );
  return `${blocks.filter(Boolean).join('\n\n')}\n`;
}

/** A copy in which every cell can be changed, for its author to edit in a front end of Jupyter. */
export function unlocked(notebook: Notebook): Notebook {
  const cells = notebook.cells.map((cell) => {
    const { deletable: _, editable: __, ...metadata } = cell.metadata;
    return { ...cell, metadata } as Cell;
  });
  return { ...notebook, cells };
}
