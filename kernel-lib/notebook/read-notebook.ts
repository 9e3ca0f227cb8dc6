import Ajv, { type ValidateFunction } from 'ajv-draft-04';
import schema from '../../data/nbformat.v4.5.schema.json';
import { type Cell, type Notebook, NotebookError } from './notebook';

interface Versioned {
  nbformat?: unknown;
  nbformat_minor?: unknown;
  cells?: unknown;
}

/** A thing out of JSON in a few words, whatever it is: nothing of its own is ever called. */
const said = (value: unknown) =>
  typeof value === 'number' || (typeof value === 'string' && value.length < 20)
    ? String(value)
    : '?';

/**
 * Read the text of an .ipynb file.
 *
 * Accepts nbformat 4.0 and later 4.x, and brings what is before 4.5 to 4.5; a cell id given twice is refused, since
 * marks hang on ids. Cells of a sheet that was handed out under earlier names come out under those of today.
 *
 * @throws NotebookError with one sentence: what is wrong and how to mend it
 */
export function readNotebook(text: string): Notebook {
  const parsed = parse(text);
  const { nbformat, nbformat_minor: minor } = parsed;
  if (nbformat !== 4 || typeof minor !== 'number') {
    throw new NotebookError(
      `The notebook is in format ${said(nbformat)}.${said(minor)}, but 4.0 to 4.5 are read. Open it in a current Jupyter, save it, and try again.`,
    );
  }
  const value = upgraded(parsed as Readonly<Record<string, unknown>>);
  const fault = notebookFault(value);
  if (fault !== undefined) {
    throw new NotebookError(
      `The notebook is damaged at ${fault}. Go back to a copy that was not edited by hand.`,
    );
  }
  const notebook = value as unknown as Notebook;
  const twice = firstRepeated(notebook.cells.map((cell) => cell.id));
  if (twice !== undefined) {
    throw new NotebookError(
      `Two cells of the notebook have the same id "${twice}". Go back to a copy in which each cell has its own.`,
    );
  }
  return withPresentNames(notebook);
}

function parse(text: string): Versioned {
  let value: unknown;
  try {
    value = JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    throw new NotebookError(whyNoJson(text.trim(), error as Error));
  }
  if (typeof value !== 'object' || value === null || !('cells' in value || 'nbformat' in value)) {
    throw new NotebookError(
      'The file is JSON, but not a notebook: it has no cells. Choose a file that ends in .ipynb.',
    );
  }
  return value as Versioned;
}

function whyNoJson(text: string, { message }: Error): string {
  if (text === '')
    return 'The file is empty; a notebook was expected. Fetch a fresh copy of the sheet.';
  return text.startsWith('{')
    ? `The file is not a notebook: it is not JSON (${message}). It may have been cut off while it was copied; fetch it again.`
    : 'The file is not a notebook, nor the beginning of one. Choose a file that ends in .ipynb, as the sheet was saved.';
}

function firstRepeated(ids: readonly string[]): string | undefined {
  const seen = new Set<string>();
  return ids.find((id) => seen.size === seen.add(id).size);
}

/** A thing out of JSON that may be a notebook of nbformat 4.0 to 4.4, whose cells have no ids. */
type Parsed = Readonly<Record<string, unknown>>;

const isObject = (value: unknown): value is Parsed =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** As nbformat 4.5 allows it. */
const soundId = /^[a-zA-Z0-9-_]{1,64}$/;

/**
 * The same notebook in nbformat 4.5: each cell that has no id is given one, `cell-1` for the first, and so on. Editors
 * that keep older formats take ids away; what a cell is for stands in its metadata (`withIdsOf` lays ids anew by it).
 * Anything that is not as expected stays as it is, for the schema to judge.
 */
function upgraded(notebook: Parsed): Parsed {
  const { cells, nbformat_minor: minor } = notebook;
  if (!Array.isArray(cells)) return notebook;
  const taken = new Set(cells.map((cell) => isObject(cell) && cell.id));
  const withIds = cells.map((cell, i) => {
    if (!isObject(cell) || Object.hasOwn(cell, 'id')) return cell;
    const kept = isObject(cell.metadata) ? cell.metadata.id : undefined;
    let id = typeof kept === 'string' && soundId.test(kept) ? kept : `cell-${i + 1}`;
    while (taken.has(id)) id = `cell-${i + 1}-${taken.size}`;
    taken.add(id);
    return { ...cell, id };
  });
  return {
    ...notebook,
    nbformat_minor: typeof minor === 'number' && minor < 5 ? 5 : minor,
    cells: withIds,
  };
}

let validator: ValidateFunction | undefined;

/** Compiled on first use: it costs some tens of milliseconds. */
function compiled(): ValidateFunction {
  validator ??= new Ajv({ allErrors: false, strict: false }).compile(schema);
  return validator;
}

/**
 * What makes `value` no nbformat 4.5 notebook, or undefined when it is one.
 *
 * @returns one phrase such as "cells/3: must have required property 'id'"
 */
export function notebookFault(value: unknown): string | undefined {
  const validate = compiled();
  if (validate(value)) return undefined;
  // With oneOf (a cell is code, markdown or raw) the first error is of the first branch tried; the deepest says most.
  const errors = validate.errors ?? [];
  const deepest = [...errors].sort((a, b) => b.instancePath.length - a.instancePath.length)[0];
  // Keys of the file stand in the path; one may be as long as the file.
  const place = deepest?.instancePath.slice(1, 100) || 'the notebook';
  return `${place}: ${deepest?.message ?? 'is not as nbformat 4.5 asks'}`;
}

/** Roles as sheets handed out up to November 2026 name them, with what they are called now. */
const roles = new Map([
  ['setup', 'given'],
  ['check', 'answer'],
]);

const presentId = (id: string) =>
  id === 'setup' ? 'given' : id.replace(/^(\d+-\d+)-check$/, '$1-answer');

const tagOn = (cell: Cell): Record<string, unknown> | undefined => {
  const tag: unknown = cell.metadata.multislit;
  return typeof tag === 'object' && tag !== null ? (tag as Record<string, unknown>) : undefined;
};

function withPresentRole(cell: Cell): Cell {
  const tag = tagOn(cell);
  const role = roles.get(String(tag?.role));
  if (role === undefined) return cell;
  return { ...cell, metadata: { ...cell.metadata, multislit: { ...tag, role } } } as Cell;
}

/**
 * The notebook with the names that cells have today: sheets handed out up to November 2026 call the cell `given`
 * `setup` and the cells `2-1-answer` `2-1-check`, with roles of the same names. A notebook that carries no tag of
 * multislit is nobody's sheet and stays as it is; so does a name whose present form stands in the notebook already.
 */
function withPresentNames(notebook: Notebook): Notebook {
  const { cells } = notebook;
  if (!cells.some(tagOn)) return notebook;
  const taken = new Set(cells.map(({ id }) => id));
  const present = cells.map((cell) => {
    const id = presentId(cell.id);
    return withPresentRole(taken.has(id) ? cell : { ...cell, id });
  });
  return { ...notebook, cells: present };
}
