import type { Notebook } from '../../notebook/notebook';
import { call } from './call';

/** A notebook as it lies in the work folder, with the version that names exactly this content. */
export interface NotebookFile {
  notebook: Notebook;
  version: string;
}

const address = (path: string) =>
  `/api/contents/${path.split('/').map(encodeURIComponent).join('/')}`;

export async function readNotebookFile(path: string): Promise<NotebookFile> {
  const { content, hash } = await call<{ content: Notebook; hash: string }>('GET', address(path));
  return { notebook: content, version: hash };
}

/** The version alone. */
export async function versionOfFile(path: string): Promise<string> {
  return (await call<{ hash: string }>('GET', `${address(path)}?content=0`)).hash;
}

/** Save over `version`, or a new file when that is `nothing`. Refused with 409 when the file is otherwise by now. */
export async function saveNotebookFile(
  path: string,
  notebook: Notebook,
  version: string | 'nothing',
): Promise<string> {
  const condition: Record<string, string> =
    version === 'nothing' ? { 'If-None-Match': '*' } : { 'If-Match': `"${version}"` };
  const body = { type: 'notebook', format: 'json', content: notebook };
  return (await call<{ hash: string }>('PUT', address(path), body, condition)).hash;
}
