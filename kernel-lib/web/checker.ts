import { smallTypes } from '../cells/convert/ambient';
import { type CellConverter, createCellConverter } from '../cells/convert/converter';
import type { ConvertHost, Files } from '../cells/host';
import { type Answered, type Asked, questions } from './checker-line';

// The worker with the compiler. It checks and converts what runners send it, one after another, remembers what it made,
// and never runs a line of it: whatever a student's code asks, text comes back.

/** What the page sends: first where the types lie, then a port for each runner. */
export type ToChecker = { readonly types: string } | { readonly serve: true };

/** Where everything lies on the disk that there is not: see `cli/site-files.ts`. */
const home = '/multislit';
const compiler = `${home}/node_modules/@tslab/typescript-for-tslab/lib/typescript.js`;

/** Texts by path as the files of a disk on which nothing changes. */
function filesOf(texts: ReadonlyMap<string, string>): Files {
  const folders = new Map<string, { files: Set<string>; folders: Set<string> }>();
  const folder = (path: string) => {
    const known = folders.get(path) ?? { files: new Set(), folders: new Set() };
    folders.set(path, known);
    return known;
  };
  for (const path of texts.keys()) {
    let at = path.lastIndexOf('/');
    folder(path.slice(0, at)).files.add(path.slice(at + 1));
    while (at > 0) {
      const inner = path.slice(0, at);
      at = inner.lastIndexOf('/');
      folder(inner.slice(0, at)).folders.add(inner.slice(at + 1));
    }
  }
  folder('/sheets');
  const plain = (path: string) => path.replace(/\/+$/, '');
  return {
    read: (path) => texts.get(path),
    isFile: (path) => texts.has(path),
    isFolder: (path) => folders.has(plain(path)),
    list(path) {
      const found = folders.get(plain(path));
      return { files: [...(found?.files ?? [])], folders: [...(found?.folders ?? [])] };
    },
    realPath: (path) => path,
    changedAt: (path) => (texts.has(path) ? 1 : 0),
  };
}

/** Values that declarations of the language and of what cells find at hand name. */
function globalsIn(texts: Iterable<string>): Set<string> {
  const found = new Set<string>();
  for (const text of texts)
    for (const [, name] of text.matchAll(/^declare (?:var|let|const|function) ([\w$]+)/gm))
      found.add(name);
  return found;
}

function hostOf(texts: ReadonlyMap<string, string>): ConvertHost {
  const language = [...texts].filter(([path]) => /\/lib\.[\w.]*d\.ts$/.test(path));
  return {
    files: filesOf(texts),
    cwd: '/sheets',
    home,
    compiler,
    globals: globalsIn([...language.map(([, text]) => text), smallTypes]),
    isPlatforms: () => false,
    modules: [],
    // The text is its own best digest: nothing is kept of it beyond this worker.
    digest: (text) => text,
  };
}

async function makeConverter(address: string): Promise<CellConverter> {
  const answer = await fetch(address).catch(() => undefined);
  if (!answer?.ok)
    throw new Error(
      `A part of this site did not arrive (${address.replace(/^.*\//, '')}), so cells cannot be checked. Was the site uploaded whole? Load the page again.`,
    );
  const texts = new Map(Object.entries((await answer.json()) as Record<string, string>));
  return createCellConverter(hostOf(texts), { ticks: true });
}

const isText = (value: unknown): boolean =>
  typeof value === 'string' ||
  typeof value === 'number' ||
  (Array.isArray(value) && value.every((one) => typeof one === 'string'));

async function answerTo({ id, question, given }: Asked): Promise<Answered> {
  // A student's code may have sent this.
  const isKnown = questions.includes(question) && Array.isArray(given) && given.every(isText);
  if (!isKnown) return { id, fault: 'Nothing of that kind can be asked.' };
  try {
    const ask = (await converter)[question] as (...given: readonly unknown[]) => Promise<unknown>;
    return { id, answer: await ask(...given) };
  } catch (error) {
    return { id, fault: (error as Error).message };
  }
}

let converter: Promise<CellConverter>;

addEventListener('message', ({ data, ports }: MessageEvent<ToChecker>) => {
  if ('types' in data) {
    converter = makeConverter(data.types);
    // Who asks is told.
    converter.catch(() => {});
    return;
  }
  const [port] = ports;
  port.onmessage = async (event: MessageEvent<Asked>) =>
    port.postMessage(await answerTo(event.data));
});
// It stands: only now is a port in good hands.
postMessage('up');
