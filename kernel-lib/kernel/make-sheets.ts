import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { SheetAhead } from '../cells/ahead';
import type { CellConverter } from '../cells/convert/converter';
import { codeCells, sourceOf, withStudentNumber } from '../notebook/notebook';
import { notebookOfText, SheetTextError } from '../notebook/sheet-text';
import { writeNotebook } from '../notebook/write-notebook';
import { sampleStudent } from '../questions/student-number';
import { readNotebookFile } from './files';
import { built, home } from './home';
import { convertHost } from './node-session';
import { findSheet, originalNotebook, sheetNames } from './sheets';
import { compilerFile } from './typescript';

// A step of the build: node make-sheets.cjs [BUILD]. Makes each sheet's notebook of its text, and with the name of a
// build its cells ready to run, for Node and for the browser, as they are handed out.

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
  const host = { ...convertHost(tmpdir()), platformTypes: undefined };
  return createCellConverter(host, { withLibrary: true });
}

/** Make .build/worksheets/NAME/sheet.ipynb of worksheets/NAME/sheet.md. Returns what stood in the way, a sentence each. */
function makeNotebooks(): string[] {
  const found: string[] = [];
  for (const name of sheetNames()) {
    const from = `worksheets/${name}/sheet.md`;
    const path = join(home, from);
    if (!existsSync(path)) continue;
    try {
      const questions = findSheet(name)?.questions ?? [];
      const notebook = notebookOfText(readFileSync(path, 'utf8'), name, questions);
      const folder = built(`worksheets/${name}`);
      mkdirSync(folder, { recursive: true });
      writeFileSync(join(folder, 'sheet.ipynb'), writeNotebook(notebook));
    } catch (error) {
      const line = error instanceof SheetTextError ? `${from}, line ${error.line}` : from;
      found.push(`${line}: ${(error as Error).message}`);
    }
  }
  return found;
}

async function makeAhead(build: string): Promise<void> {
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

async function main(build?: string): Promise<void> {
  const found = makeNotebooks();
  for (const sentence of found) console.error(sentence);
  if (found.length > 0) process.exitCode = 1;
  else if (build !== undefined) await makeAhead(build);
}

void main(process.argv[2]);
