import {
  type Cell,
  joinLines,
  type MimeData,
  type Notebook,
  type Output,
  splitLines,
} from './notebook';

/** Mime types whose values nbformat writes as a list of lines, so that differences stay readable. */
const isText = (mime: string) => /^text\/|\+xml$|^image\/svg/.test(mime);

function writeData(data: MimeData): MimeData {
  const pairs = Object.entries(data).map(([mime, value]) => [
    mime,
    typeof value === 'string' && isText(mime) ? splitLines(value) : value,
  ]);
  return Object.fromEntries(pairs);
}

function writeOutput(output: Output): Output {
  switch (output.output_type) {
    case 'stream':
      return { ...output, text: splitLines(joinLines(output.text)) };
    case 'display_data':
    case 'execute_result':
      return { ...output, data: writeData(output.data) };
    default:
      return output;
  }
}

function writeCell(cell: Cell): Cell {
  const source = splitLines(joinLines(cell.source));
  if (cell.cell_type !== 'code') return { ...cell, source };
  return { ...cell, source, outputs: cell.outputs.map(writeOutput) };
}

/** The text of an .ipynb file: indent 1, sources as lists of lines, one line end at the end, as Jupyter writes it. */
export function writeNotebook(notebook: Notebook): string {
  return `${JSON.stringify({ ...notebook, cells: notebook.cells.map(writeCell) }, null, 1)}\n`;
}
