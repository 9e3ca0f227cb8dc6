import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import { multislit } from '../cli/multislit';

const types: Record<string, string> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.json': 'application/json',
  '.txt': 'text/plain',
  '.png': 'image/png',
  '.svg': 'image/svg+xml',
};

/** A site as `hand-out --web` writes it, behind a server that knows nothing but files, in a folder deep within it. */
export interface SiteForTest {
  readonly address: string;
  /** Every file by its path, with `/` between folders. */
  readonly files: ReadonlyMap<string, Buffer>;
  /** The path of a part that `web/site.ts` asks for by this name: it carries a digest of what it holds. */
  part(name: string): string;
  /** The paths that were asked for so far, with what stands behind a `?`. */
  readonly asked: readonly string[];
  /** False: nothing answers, as in a train. */
  isThere: boolean;
  remove(): Promise<void>;
}

/** @param more files to lay beside it, by path; `{{parts}}` in them becomes what index.html says of the parts */
export async function siteForTest(
  sheets: readonly string[] = [],
  more: Readonly<Record<string, string>> = {},
): Promise<SiteForTest> {
  const folder = mkdtempSync(join(tmpdir(), 'web site '));
  const { code, err } = await multislit(['hand-out', '--web', join(folder, 'site'), ...sheets]);
  if (code !== 0) throw new Error(`hand-out --web ended with ${code}: ${err}`);
  const at = join(folder, 'site');
  const names = readdirSync(at, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));
  const files = new Map(
    names.map((name) => [name.slice(at.length + 1).replaceAll('\\', '/'), readFileSync(name)]),
  );
  const [, parts] = /<meta name="parts" content="([^"]*)">/.exec(String(files.get('index.html')))!;
  for (const [path, text] of Object.entries(more))
    files.set(path, Buffer.from(text.replace('{{parts}}', () => parts)));
  const named: Record<string, string> = JSON.parse(parts.replaceAll('&quot;', '"'));
  const asked: string[] = [];
  const place = '/courses/optics%20II/';
  /** The same files lie in other folders beside it: other sites of one origin. */
  const anyPlace = /^\/courses\/[^/]+\//;
  const server = createServer(({ url = '' }, answer) => {
    if (!site.isThere) return void answer.destroy();
    asked.push(url);
    const [path] = url.split('?');
    const folder = anyPlace.exec(path)?.[0] ?? '';
    const file = folder === '' ? undefined : files.get(path.slice(folder.length) || 'index.html');
    answer.statusCode = file ? 200 : 404;
    answer.setHeader('Content-Type', types[extname(path) || '.html'] ?? 'application/octet-stream');
    answer.end(file);
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  const { port } = server.address() as AddressInfo;
  const site: SiteForTest = {
    isThere: true,
    address: `http://127.0.0.1:${port}${place}`,
    files,
    asked,
    part: (name) => named[name] ?? name,
    async remove() {
      server.closeAllConnections();
      await new Promise((done) => server.close(done));
      rmSync(folder, { recursive: true });
    },
  };
  return site;
}
