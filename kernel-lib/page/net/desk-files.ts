import { base64, bytesOfBase64 } from '../../display/base64';
import type { Notebook } from '../../notebook/notebook';
import type { OpenedSheet, SheetList } from '../../travels/sheet-list';
import { type FileStore, StoreError, type StoreFault } from './host';

/** The notebooks of a desk's work folder, by Jupyter's contents service. */
export const deskFiles: FileStore = {
  list: () => call<SheetList>('GET', '/desk/sheets'),

  open: (sheet) => call<OpenedSheet>('POST', `/desk/sheets/${encodeURIComponent(sheet)}/open`),

  async read(path) {
    const { content, hash } = await call<{ content: Notebook; hash: string }>('GET', address(path));
    return { notebook: content, version: hash };
  },

  async versionOf(path) {
    return (await call<{ hash: string }>('GET', `${address(path)}?content=0`)).hash;
  },

  async save(path, notebook, version) {
    const condition: Record<string, string> =
      version === 'nothing' ? { 'If-None-Match': '*' } : { 'If-Match': `"${version}"` };
    const body = { type: 'notebook', format: 'json', content: notebook };
    return (await call<{ hash: string }>('PUT', address(path), body, condition)).hash;
  },

  async setStudent(student) {
    await call('PUT', '/desk/student', { student });
  },

  beside: {
    async names() {
      const { content } = await call<{ content: { name: string; type: string }[] }>(
        'GET',
        '/api/contents',
      );
      return content.filter(({ type }) => type === 'file').map(({ name }) => name);
    },
    async read(name) {
      const { content } = await call<{ content: string }>('GET', `${address(name)}?format=base64`);
      return bytesOfBase64(content);
    },
    async keep(name, bytes) {
      const body = { type: 'file', format: 'base64', content: base64(bytes) };
      await call('PUT', address(name), body, { 'If-None-Match': '*' });
    },
  },
};

const address = (path: string) =>
  `/api/contents/${path.split('/').map(encodeURIComponent).join('/')}`;

const faults: Record<number, StoreFault> = {
  400: 'damaged',
  401: 'stranger',
  403: 'closed',
  404: 'missing',
  409: 'changed',
  507: 'closed',
};

/** What the server is called before its reader, who started it. */
export const server = 'The program that serves this page';

/** Ask the desk for JSON. @throws StoreError with the desk's own sentence */
export async function call<T>(
  method: 'GET' | 'PUT' | 'POST' | 'DELETE',
  path: string,
  body?: unknown,
  headers: Record<string, string> = {},
): Promise<T> {
  let answer: Response;
  try {
    answer = await fetch(path, {
      method,
      headers: body === undefined ? headers : { 'Content-Type': 'application/json', ...headers },
      body: body === undefined ? undefined : JSON.stringify(body),
      cache: 'no-store',
      credentials: 'same-origin',
    });
  } catch {
    throw new StoreError(
      'away',
      `${server} does not answer.`,
      'It goes on trying. Has the window in which you started it been closed? Start it again there.',
    );
  }
  if (answer.status === 204) return undefined as T;
  const value = await answer.json().catch(() => ({}));
  if (answer.ok) return value as T;
  if (answer.status === 401)
    throw new StoreError(
      'stranger',
      value.message,
      `${server} was started again. Open the address it printed in this browser; this page then goes on by itself.`,
    );
  throw new StoreError(
    faults[answer.status] ?? 'refused',
    value.message ?? `${server} refused (${answer.status}).`,
  );
}
