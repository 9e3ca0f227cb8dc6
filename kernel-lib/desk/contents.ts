import { readdir, stat } from 'node:fs/promises';
import { basename } from 'node:path';
import { Hono } from 'hono';
import { type Notebook, NotebookError } from '../notebook/notebook';
import { readNotebook } from '../notebook/read-notebook';
import { writeNotebook } from '../notebook/write-notebook';
import { limitedBody } from './limited-body';
import { fileRefusal, Refusal } from './refusal';
import { contain, type Expected, readStored, type Stored, saveStored } from './stored-file';

/** Largest body of a save. A sheet with all its figures takes about one tenth of it. */
export const largestSave = 32 * 1024 * 1024;

const isNotebook = (path: string) => path.endsWith('.ipynb');

const mimeOf = { text: 'text/plain', base64: 'application/octet-stream' };

type Facts = Omit<Stored, 'bytes' | 'text'>;

/** A file as Jupyter's contents service tells it: a notebook as JSON, others as text or, when asked for, base64. */
function model(
  path: string,
  stored: Facts,
  content: Notebook | string | null,
  format: 'text' | 'base64' = 'text',
) {
  return {
    name: basename(path),
    path,
    type: isNotebook(path) ? 'notebook' : 'file',
    format: content === null ? null : isNotebook(path) ? 'json' : format,
    mimetype: content === null || isNotebook(path) ? null : mimeOf[format],
    content,
    writable: true,
    size: stored.size,
    created: stored.modified.toISOString(),
    last_modified: stored.modified.toISOString(),
    hash: stored.version,
    hash_algorithm: 'sha256',
  };
}

/** Something in a folder; undefined for what is not served: pipes and their like, links that lead out or nowhere. */
async function entryModel(folder: string, path: string) {
  try {
    const found = await stat(await contain(folder, path));
    if (!found.isFile() && !found.isDirectory()) return undefined;
    const { mtime, size } = found;
    const entry = model(path, { version: '', modified: mtime, size }, null);
    return found.isDirectory() ? { ...entry, type: 'directory', size: null } : entry;
  } catch {
    return undefined;
  }
}

async function folderModel(folder: string, place: string, path: string) {
  const names = (await readdir(place)).filter((name) => !name.startsWith('.'));
  const entries = await Promise.all(
    names.map((name) => entryModel(folder, path === '' ? name : `${path}/${name}`)),
  );
  const content = entries.filter((entry) => entry !== undefined);
  const { mtime } = await stat(place);
  const self = model(path, { version: '', modified: mtime, size: 0 }, null);
  return { ...self, type: 'directory', format: 'json', size: null, content };
}

/** What must be there before a save, from If-Match and If-None-Match. */
function expectedBy(header: (name: string) => string | undefined): Expected {
  if (header('if-none-match') === '*') return 'nothing';
  const version = header('if-match')?.replace(/^"|"$/g, '');
  return version === undefined || version === '*' ? undefined : { version };
}

function asNotebook(text: string, path: string): Notebook {
  try {
    return readNotebook(text);
  } catch (error) {
    if (error instanceof NotebookError) throw new Refusal(400, `${path}: ${error.message}`);
    throw error;
  }
}

/** @throws Refusal (400) when this is no base64 */
function bytesIn(content: unknown, path: string): Buffer {
  const text = typeof content === 'string' ? content.replace(/\s/g, '') : '*';
  if (/^[A-Za-z0-9+/]*={0,2}$/.test(text) && text.length % 4 === 0)
    return Buffer.from(text, 'base64');
  throw new Refusal(400, `What was sent for ${path} is no base64: nothing was saved.`);
}

/**
 * Jupyter's contents service for the files of one folder: list, read, save.
 *
 * A save may name the version it builds on, as `If-Match` with the `hash` read before; if the file has
 * another one by then, it is left alone and the answer is 409. `If-None-Match: *` saves only a new file.
 */
export function contents(folder: string): Hono {
  const app = new Hono();

  app.get('/', async (c) => c.json(await folderModel(folder, await contain(folder, ''), '')));

  app.get('/:path{.+}', async (c) => {
    const path = c.req.param('path').replace(/\/$/, '');
    const place = await contain(folder, path);
    const found = await stat(place).catch((error) => {
      throw fileRefusal(error, path);
    });
    if (found.isDirectory()) return c.json(await folderModel(folder, place, path));
    const stored = await readStored(place, path);
    if (c.req.query('content') === '0') return c.json(model(path, stored, null));
    if (c.req.query('format') === 'base64' && !isNotebook(path))
      return c.json(model(path, stored, stored.bytes.toString('base64'), 'base64'));
    const content = isNotebook(path) ? asNotebook(stored.text, path) : stored.text;
    return c.json(model(path, stored, content));
  });

  const tooLarge = 'This is too large to be saved: clear some outputs, then save again.';
  app.put('/:path{.+}', limitedBody(largestSave, tooLarge), async (c) => {
    const path = c.req.param('path');
    const place = await contain(folder, path);
    const body = (await c.req.json().catch(() => undefined)) as
      | { type?: unknown; format?: unknown; content?: unknown }
      | undefined;
    if (!body || body.content === undefined)
      throw new Refusal(400, `Nothing was sent for ${path}: a Jupyter contents model is needed.`);
    const expected = expectedBy((name) => c.req.header(name));
    const before = await stat(place).then(
      () => true,
      () => false,
    );
    const content = isNotebook(path)
      ? writeNotebook(asNotebook(JSON.stringify(body.content), path))
      : body.format === 'base64'
        ? bytesIn(body.content, path)
        : String(body.content);
    const stored = await saveStored(place, path, content, expected);
    return c.json(model(path, stored, null), before ? 200 : 201);
  });

  return app;
}
