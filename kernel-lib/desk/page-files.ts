import { readFile } from 'node:fs/promises';
import { extname, join } from 'node:path';
import { Hono } from 'hono';
import { contain } from './contain';
import { fileProblem } from './problem';

const types: Record<string, string> = {
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.html': 'text/html; charset=utf-8',
  '.txt': 'text/plain; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.woff2': 'font/woff2',
  '.woff': 'font/woff',
  '.ttf': 'font/ttf',
};

/** The built page: its HTML at `/`, at `/bench`, at `/help` and at every sheet's address, its scripts, styles and fonts under `/page/`. */
export function pageFiles(folder: string): Hono<{ Variables: { nonce: string } }> {
  const app = new Hono<{ Variables: { nonce: string } }>();
  const html = async (nonce: string) =>
    (await readFile(join(folder, 'index.html'), 'utf8')).replaceAll('{{nonce}}', nonce);

  app.get('/', async (c) => c.html(await html(c.get('nonce'))));
  app.get('/bench', async (c) => c.html(await html(c.get('nonce'))));
  app.get('/help', async (c) => c.html(await html(c.get('nonce'))));
  app.get('/sheet/:path{.+}', async (c) => c.html(await html(c.get('nonce'))));
  app.get('/page/:name{.+}', async (c) => {
    const name = c.req.param('name');
    const file = await contain(folder, name);
    const bytes = await readFile(file).catch((error) => {
      throw fileProblem(error, name);
    });
    c.header('Content-Type', types[extname(name)] ?? 'application/octet-stream');
    // Chunks and fonts carry a hash in their names; the entries do not.
    const hashed = /-[A-Z0-9]{8}\.\w+$/.test(name);
    c.header('Cache-Control', hashed ? 'max-age=31536000, immutable' : 'no-cache');
    return c.body(new Uint8Array(bytes));
  });
  return app;
}
