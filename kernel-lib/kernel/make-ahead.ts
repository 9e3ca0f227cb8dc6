import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { SheetAhead } from '../cells/ahead';
import type { CellConverter } from '../cells/convert/converter';
import { codeCells, sourceOf, withStudentNumber } from '../notebook/notebook';
import { sampleStudent } from '../questions/student-number';
import { readNotebookFile } from './files';
import { built } from './home';
import { convertHost } from './node-session';
import { originalNotebook, sheetNames } from './sheets';
import { compilerFile } from './typescript';

// A step of the build: node make-ahead.cjs BUILD. Makes the cells of every sheet ready to run, for Node and for the
// browser, as they are handed out.

/** A file, and what it was made from, so that it is made again only when that changed. */
interface Made extends SheetAhead {
  readonly from: string;
}

const digest = (texts: Iterable<string | Uint8Array>): string => {
  const hash = createHash('sha256');
  for (const text of texts) hash.update(text).update('\0');
  return hash.digest('base64');
};

function* libraryTypes(): Generator<string | Uint8Array> {
  const folder = built('types');
  const names = readdirSync(folder, { recursive: true, encoding: 'utf8' });
  for (const name of names.filter((one) => one.endsWith('.d.ts')).sort()) {
    yield name;
    yield readFileSync(join(folder, name));
  }
}

async function makeConverter(): Promise<CellConverter> {
  const { createCellConverter } = await import('../cells/convert/converter');
  // Without the platform's own types: a cell that asks for them is not the same everywhere.
  const host = { ...convertHost(built('worksheets')), platformTypes: undefined };
  return createCellConverter(host, { withLibrary: true });
}

async function main(build: string): Promise<void> {
  const { convertAhead } = await import('../cells/convert/convert-ahead');
  let converter: Promise<CellConverter> | undefined;
  // The compiler's folder has its version in package.json; this file holds all that converts.
  const parts = [
    readFileSync(__filename),
    readFileSync(join(compilerFile, '../../package.json')),
    digest(libraryTypes()),
  ];
  for (const name of sheetNames()) {
    const original = originalNotebook(name);
    if (!original) continue;
    const notebook = withStudentNumber(readNotebookFile(original), sampleStudent);
    const sources = codeCells(notebook).map(sourceOf);
    const from = digest([...parts, ...sources]);
    const files = [built(`worksheets/${name}/ahead.json`), built(`web/sheets/${name}-ahead.json`)];
    const before = files.map((file) =>
      existsSync(file) ? (JSON.parse(readFileSync(file, 'utf8')) as Made) : undefined,
    );
    const write = (cells: readonly SheetAhead['cells'][]) => {
      for (const [n, file] of files.entries())
        writeFileSync(file, JSON.stringify({ build, from, cells: cells[n] } satisfies Made));
    };
    if (before.every((one) => one?.from === from)) write(before.map((one) => one?.cells ?? []));
    else {
      converter ??= makeConverter();
      const { plain, ticking } = await convertAhead(await converter, sources, sampleStudent);
      write([plain, ticking]);
    }
  }
}

void main(process.argv[2]);
