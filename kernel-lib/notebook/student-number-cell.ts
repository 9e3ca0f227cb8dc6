import { cellById, type Notebook, sourceOf } from './notebook';

/** Every sheet has a cell with this id, in which the student number stands. */
export const studentNumberCell = 'student-number';

const line = /(\bstudentNumber\s*(?::\s*string\s*)?=\s*)(['"`])([^'"`\n]*)\2/y;
/** What is no code: comments, and texts in quotes. */
const passedOver = /\/\/.*|\/\*[\s\S]*?(?:\*\/|$)|(['"`])(?:\\[\s\S]|(?!\1)[^\\])*(?:\1|$)/y;

/** The last place in the code that gives the number; what stands in a comment or in a text is none. */
function lineIn(source: string): RegExpExecArray | undefined {
  let found: RegExpExecArray | undefined;
  for (let at = 0; at < source.length; at++) {
    line.lastIndex = at;
    passedOver.lastIndex = at;
    const isWord = at > 0 && /[\w$]/.test(source[at - 1]);
    const match = isWord ? null : line.exec(source);
    if (match) found = match;
    const passed = match ?? passedOver.exec(source);
    if (passed) at += passed[0].length - 1;
  }
  return found;
}

/** The number that stands in the notebook; undefined when there is no such cell or line. */
export function studentNumberOf(notebook: Notebook): string | undefined {
  const cell = cellById(notebook, studentNumberCell);
  return cell && lineIn(sourceOf(cell))?.[3].trim();
}

/** A copy of the notebook in which `number` stands as the student number; the rest of the cell stays. */
export function withStudentNumber(notebook: Notebook, number: string): Notebook {
  const cells = notebook.cells.map((cell) => {
    if (cell.id !== studentNumberCell) return cell;
    const source = sourceOf(cell);
    const found = lineIn(source);
    if (!found) return cell;
    const [whole, before, quote] = found;
    const rest = source.slice(found.index + whole.length);
    return {
      ...cell,
      source: `${source.slice(0, found.index)}${before}${quote}${number}${quote}${rest}`,
    };
  });
  return { ...notebook, cells };
}
