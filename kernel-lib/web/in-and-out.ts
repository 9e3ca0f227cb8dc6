import { strToU8, type Zippable, zipSync } from 'fflate';
import { base64, bytesOfBase64 } from '../display/base64';
import { isZip, knownKind, type ReturnedFile, unpack } from '../marking/unpack';
import {
  type Notebook,
  NotebookError,
  originalWithWork,
  sheetOf,
  sourceOf,
  studentNumberCell,
  tagOf,
  takesWork,
  withIdsOf,
  withStudentNumber,
} from '../notebook/notebook';
import { readNotebook } from '../notebook/read-notebook';
import { writeNotebook } from '../notebook/write-notebook';
import type { Carrying, MadeFile } from '../page/net/host';
import { asideName } from '../page/sheet/saver';
import { channel, lockManager } from '../page/tab';
import { studentFile, studentFileText, studentInFile } from '../questions/student-number';
import { isBesideName } from '../travels/files-beside';
import { besideName, besideNames, pathOf, student, type Texts } from './kept';
import { digestOfAll, ownNumberIn } from './own-work';
import { originalNotebook, siteSheets } from './site';

/** Copies that were put aside, as `asideName` names them, keep their names wherever they go. */
const isAside = (name: string) => / put aside \d{4}-\d\d-\d\d \d\d\.\d\d\.\d\d\.ipynb$/.test(name);

/** Every notebook, the files beside them and the student number, as they lie in a desk's folder. */
export async function allInOne(kept: Texts, carrying: Carrying): Promise<MadeFile> {
  const files: Zippable = {};
  for (const path of (await kept.names()).filter((name) => name.endsWith('.ipynb')).sort()) {
    const found = await kept.read(path);
    if (!found) continue;
    files[path] = strToU8(found.text);
    try {
      await carrying.made(path, readNotebook(found.text));
    } catch (error) {
      // What is damaged goes along as it is.
      if (!(error instanceof NotebookError)) throw error;
    }
  }
  for (const name of besideNames(await kept.names()).sort()) {
    const found = await kept.read(besideName(name));
    if (found) files[name] = bytesOfBase64(found.text);
  }
  const whose = (await kept.read(student))?.text;
  if (whose !== undefined) files[studentFile] = strToU8(studentFileText(whose));
  const now = new Date();
  const two = (part: number) => String(part).padStart(2, '0');
  const day = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  const name = ['worksheets', whose, day].filter((part) => part !== undefined).join('-');
  return { name: `${name}.zip`, content: zipSync(files, { level: 6 }) };
}

interface Found {
  readonly name: string;
  readonly notebook: Notebook;
}

/** A picture or a table out of an archive. */
interface FoundBeside {
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** What the files hold: notebooks, what lay beside them, a student number; and sentences on what they do not. */
async function lookInto(files: readonly File[], said: string[]) {
  const notebooks: Found[] = [];
  const beside: FoundBeside[] = [];
  let number: string | undefined;
  const look = ({ path, bytes }: ReturnedFile, isAlone: boolean) => {
    const name = path.slice(path.lastIndexOf('/') + 1);
    if (name === studentFile) {
      number = studentInFile(new TextDecoder().decode(bytes));
      return;
    }
    // What lies beside notebooks in an archive, such as a photograph, comes in with them.
    if (!isAlone && !/\.ipynb$/i.test(name)) {
      if (isBesideName(name)) beside.push({ name, bytes });
      return;
    }
    const kind = knownKind(bytes);
    if (kind)
      said.push(
        `${path}: It is ${kind}, not a notebook. Choose the .ipynb file of a sheet, or a zip of such files.`,
      );
    else
      try {
        notebooks.push({ name, notebook: readNotebook(new TextDecoder().decode(bytes)) });
      } catch (error) {
        if (!(error instanceof NotebookError)) throw error;
        said.push(`${path}: ${error.message}`);
      }
  };
  for (const file of files) {
    const whole = { path: file.name, bytes: new Uint8Array(await file.arrayBuffer()) };
    if (!isZip(whole.bytes)) {
      look(whole, true);
      continue;
    }
    const before = notebooks.length + said.length;
    const besideBefore = beside.length;
    for (const one of unpack(whole, ({ path, why, reason }) => {
      if (reason !== 'left by a system') said.push(`${path}: ${why}`);
    }))
      look(one, false);
    if (notebooks.length + said.length > before) continue;
    beside.length = besideBefore;
    said.push(`${file.name}: There is no notebook in this archive.`);
  }
  // Of several of one sheet, the one that is named as the sheet's own copy comes last, and stays.
  const rank = ({ name, notebook }: Found) =>
    isAside(name) ? 0 : name === pathOf(sheetOf(notebook) ?? '') ? 2 : 1;
  return { notebooks: notebooks.sort((one, other) => rank(one) - rank(other)), beside, number };
}

/** A file beside notebooks into its place; another of that name is kept beside it. @returns what became of it */
async function bringFile({ name, bytes }: FoundBeside, kept: Texts): Promise<string> {
  const text = base64(bytes);
  const there = await kept.read(besideName(name));
  if (there?.text === text) return `${name}: This file is here already.`;
  let aside: string | undefined;
  for (let n = 1; there && aside === undefined; n++) {
    const free = name.replace(/(\.\w+)$/, ` put aside ${n}$1`);
    if (await kept.read(besideName(free))) continue;
    await kept.write(besideName(free), there.text, 'nothing');
    aside = free;
  }
  await kept.write(besideName(name), text, there?.version ?? 'nothing');
  const before =
    aside === undefined ? '' : ` The file of that name that was here is kept as “${aside}”.`;
  return `${name}: Brought in, for cells to read.${before}`;
}

/** Questions at which the sheet's own cells are not those of the original: another version of it. */
function differing(original: Notebook, notebook: Notebook): string[] {
  const theirs = new Map(notebook.cells.map((cell) => [cell.id, cell]));
  const places = original.cells
    .filter((cell) => {
      const there = theirs.get(cell.id);
      if (cell.id === studentNumberCell) return !there;
      const isSame = there?.cell_type === cell.cell_type;
      return !isSame || (!takesWork(cell) && sourceOf(there) !== sourceOf(cell));
    })
    .map((cell) => tagOf(cell)?.question ?? 'its introduction');
  return [...new Set(places)];
}

/** The work of a notebook in the sheet as it is today. */
function laidInto(original: Notebook, notebook: Notebook): Notebook {
  const laid = originalWithWork(original, notebook);
  const number = ownNumberIn(notebook);
  return number === undefined ? laid : withStudentNumber(laid, number);
}

/** @returns the name beside `path` under which what stood there is kept; undefined where nothing was written in it */
async function putAside(path: string, text: string, original: Notebook, kept: Texts) {
  try {
    if (digestOfAll(readNotebook(text)) === digestOfAll(original)) return undefined;
  } catch (error) {
    if (!(error instanceof NotebookError)) throw error;
  }
  return keepBeside(path, text, kept);
}

async function keepBeside(path: string, text: string, kept: Texts): Promise<string> {
  for (let at = Date.now(); ; at += 1000) {
    const aside = asideName(path, new Date(at));
    if (await kept.read(aside)) continue;
    await kept.write(aside, text, 'nothing');
    return aside;
  }
}

/** A copy that was put aside elsewhere, under its own name. */
async function bringBeside({ name, notebook }: Found, kept: Texts): Promise<string> {
  const text = writeNotebook(notebook);
  const there = await kept.read(name);
  if (there?.text === text) return `${name}: This copy is here already.`;
  const under = there ? await keepBeside(name, text, kept) : name;
  if (!there) await kept.write(name, text, 'nothing');
  return `${name}: Brought in beside your sheets${under === name ? '' : ` as “${under}”`}.`;
}

/** One notebook into the place of its sheet. @returns what became of it */
async function bringOne(
  { name, notebook }: Found,
  kept: Texts,
  carrying: Carrying,
): Promise<string> {
  const sheet = sheetOf(notebook);
  if (sheet === undefined)
    return `${name}: This notebook is no worksheet. It was not brought in; nothing was changed.`;
  const listed = (await siteSheets()).find((one) => one.name === sheet);
  if (!listed)
    return `${name}: It is of another sheet, ${sheet}, which is not among those here. It was not brought in; nothing was changed.`;
  if (isAside(name)) return bringBeside({ name, notebook }, kept);
  const path = pathOf(sheet);
  const original = await originalNotebook(sheet);
  const found = withIdsOf(original, notebook);
  const places = differing(original, found);
  const isOther = places.length > 0;
  const laid = isOther ? laidInto(original, found) : notebook;
  const text = writeNotebook(laid);
  const there = await kept.read(path);
  if (there?.text === text) {
    await carrying.made(path, laid, true);
    return `${listed.title}: This is what is here already.`;
  }
  const aside = there && (await putAside(path, there.text, original, kept));
  const before = isOther ? await keepBeside(path, writeNotebook(notebook), kept) : undefined;
  await kept.write(path, text, there?.version ?? 'nothing');
  await carrying.made(path, laid, true);
  const tabs = channel('multislit.saved');
  tabs?.postMessage(path);
  tabs?.close();
  const mine = (await kept.read(student))?.text;
  const theirs = ownNumberIn(notebook);
  return [
    `${listed.title}: Brought in from ${name}.`,
    aside && `What was here is kept as “${aside}”.`,
    isOther &&
      `It was made from another version of this sheet (different: ${places.slice(0, 5).join(', ')}${places.length > 5 ? ' …' : ''}), so what you wrote was laid into the one that is here; press Run from the top in it. The file as it came is kept as “${before}”.`,
    mine && theirs && mine !== theirs && `It has the student number ${theirs}; here it is ${mine}.`,
  ]
    .filter(Boolean)
    .join(' ');
}

/** Take files in, one after the other and one tab at a time. @returns what became of each, in sentences */
export async function bringIn(
  files: readonly File[],
  kept: Texts,
  carrying: Carrying,
): Promise<readonly string[]> {
  const bring = async () => {
    const said: string[] = [];
    const { notebooks, beside, number } = await lookInto(files, said);
    const known = await kept.read(student);
    const whose = number ?? notebooks.map(({ notebook }) => ownNumberIn(notebook)).find(Boolean);
    if (!known && whose !== undefined) await kept.write(student, whose, 'nothing');
    for (const one of [...beside, ...notebooks])
      try {
        said.push(await ('bytes' in one ? bringFile(one, kept) : bringOne(one, kept, carrying)));
      } catch (error) {
        said.push(`${one.name}: ${(error as Error).message} It was not brought in.`);
      }
    return said;
  };
  const locks = lockManager();
  return locks ? locks.request('multislit.bring in', bring) : bring();
}
