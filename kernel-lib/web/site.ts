import type { Notebook } from '../notebook/notebook';
import { readNotebook } from '../notebook/read-notebook';
import { StoreError } from '../page/net/host';
import type { ListedQuestion } from '../travels/sheet-list';

/** A sheet as the site lists it. */
export interface SiteSheet {
  readonly name: string;
  readonly title: string;
  readonly questions: readonly ListedQuestion[];
}

/** All of the site is in one file: see `web/one-file.ts`. */
const isPacked = document.documentElement.hasAttribute('data-packed');

/** The folder in which index.html lies, however this page was reached; in one file that file itself. */
export const siteRoot = new URL(isPacked ? location.pathname : '..', import.meta.url);

/** What each part of this version is called on the server: its own name with a digest of what it holds. */
const names: Readonly<Record<string, string>> = JSON.parse(
  document.querySelector<HTMLMetaElement>('meta[name="parts"]')?.content ?? '{}',
);

/** Whether the site has this part. */
export const hasPart = (path: string): boolean => Object.hasOwn(names, path);

/** What a part is called on the server. */
export const siteName = (path: string): string => names[path] ?? path;

/** The address of one of the site's files. */
export const siteFile = (path: string): string => new URL(siteName(path), siteRoot).href;

const fetched = new Map<string, Promise<string>>();

/**
 * A file of the site, fetched once.
 *
 * @throws StoreError `away` when it does not arrive
 */
export function siteText(path: string): Promise<string> {
  const known = fetched.get(path);
  if (known) return known;
  const coming = fetchText(path);
  fetched.set(path, coming);
  // What failed may arrive next time.
  coming.catch(() => fetched.delete(path));
  return coming;
}

async function fetchText(path: string): Promise<string> {
  const answer = await fetch(siteFile(path)).catch(() => undefined);
  if (answer?.ok) return answer.text();
  throw new StoreError(
    'away',
    answer
      ? `A part of this site is not there (${siteName(path)}, ${answer.status}): it was not uploaded whole. Tell whoever gave you this address.`
      : `A part of this site did not arrive (${siteName(path)}): is there a connection?`,
    'It goes on trying.',
  );
}

export const siteSheets = async (): Promise<readonly SiteSheet[]> =>
  JSON.parse(await siteText('sheets.json'));

/** A sheet as it is handed out. @throws StoreError `missing` when the site has none of this name */
export async function originalNotebook(name: string): Promise<Notebook> {
  if (!(await siteSheets()).some((sheet) => sheet.name === name))
    throw new StoreError('missing', `There is no sheet named ${name}.`);
  return readNotebook(await siteText(`sheets/${name}.json`));
}

/** The program of every sheet, by name. */
export async function sheetPrograms(): Promise<Record<string, string>> {
  const sheets = await siteSheets();
  const programs = await Promise.all(
    sheets.map(async ({ name }) => [name, await siteText(`sheets/${name}.js`)] as const),
  );
  return Object.fromEntries(programs);
}

/** The cells that were converted ahead of the sheet that a notebook is of; undefined where there is no such file. */
export async function cellsAhead(path: string): Promise<string | undefined> {
  const sheet = (await siteSheets()).find(({ name }) => path.startsWith(name));
  // Cells run without it, only later.
  return sheet && siteText(`sheets/${sheet.name}-ahead.json`).catch(() => undefined);
}
