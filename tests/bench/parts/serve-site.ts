import { readdirSync, readFileSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join } from 'node:path';
import { gzipSync } from 'node:zlib';

const types: Record<string, string> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.json': 'application/json',
};

interface Served {
  readonly address: string;
  /** Every file by its path. */
  readonly files: ReadonlyMap<string, Buffer>;
  /** What was asked for so far. */
  readonly asked: ReadonlySet<string>;
  close(): Promise<void>;
}

/** A folder of files behind a server of this very machine that sends them compressed by gzip. */
export async function serveSite(folder: string): Promise<Served> {
  const files = new Map<string, Buffer>();
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true }))
    if (entry.isFile()) {
      const path = join(entry.parentPath, entry.name);
      files.set(path.slice(folder.length + 1), readFileSync(path));
    }
  const packed = new Map([...files].map(([name, bytes]) => [name, gzipSync(bytes)]));
  const asked = new Set<string>();
  const server = createServer(({ url = '' }, answer) => {
    const name = url.split('?')[0].slice(1) || 'index.html';
    const bytes = packed.get(name);
    asked.add(name);
    answer.statusCode = bytes ? 200 : 404;
    answer.setHeader('Content-Type', types[extname(name)] ?? 'application/octet-stream');
    answer.setHeader('Content-Encoding', 'gzip');
    answer.end(bytes ?? gzipSync(''));
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  const { port } = server.address() as AddressInfo;
  return {
    address: `http://127.0.0.1:${port}/`,
    files,
    asked,
    close() {
      server.closeAllConnections();
      return new Promise((done) => server.close(() => done()));
    },
  };
}
