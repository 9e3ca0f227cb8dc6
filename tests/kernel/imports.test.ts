import { mkdirSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { emptyFolder, startKernel, type TestKernel } from './kernel';

// Row 1 of the kernel's table: multislit and its types from any working directory; and Node's globals.

const folder = emptyFolder();
let kernel: TestKernel;

beforeAll(async () => {
  kernel = await startKernel(folder.path);
});
afterAll(async () => {
  await kernel.stop();
  folder.remove();
});

describe('a folder without node_modules', () => {
  test('finds multislit', async () => {
    expect(await kernel.text("import { nm, intensity, slits } from 'multislit';\nnm(550)")).toMatch(
      /^5\.5\d*e-7$/,
    );
  });

  test('shows a function of multislit by its name', async () => {
    expect(await kernel.text("import { findRoot } from 'multislit';\nfindRoot")).toBe(
      '[Function: findRoot]',
    );
  });

  test('has the types of multislit', async () => {
    const { reply } = await kernel.run('const wrong: string = nm(550);');
    expect(reply).toMatchObject({ status: 'error', ename: 'TypeScriptError' });
    expect(reply.evalue).toContain("Type 'number' is not assignable to type 'string'");
  });

  test('completes names of multislit, and members by their types', async () => {
    const code = "import { inten } from 'multislit'";
    const { reply } = await kernel.request('complete_request', { code, cursor_pos: 14 });
    expect(reply).toMatchObject({ status: 'ok', cursor_start: 9, cursor_end: 14 });
    expect(reply.matches).toContain('intensityProfile');
    const member = await kernel.request('complete_request', { code: 'nm(5).toF', cursor_pos: 9 });
    expect(member.reply.matches).toEqual(['toFixed']);
  });

  test('counts the cursor in characters, not in UTF-16 units', async () => {
    const code = "'𝜆𝜆'; nm(5).toF";
    const { reply } = await kernel.request('complete_request', { code, cursor_pos: 15 });
    expect(reply).toMatchObject({ matches: ['toFixed'], cursor_start: 12, cursor_end: 15 });
  });

  test('tells what a name is', async () => {
    const { reply } = await kernel.request('inspect_request', { code: 'nm(5)', cursor_pos: 1 });
    expect(reply).toMatchObject({ status: 'ok', found: true });
    expect((reply.data as Record<string, string>)['text/plain']).toMatch(/nm\(.*number\): number/);
    const nothing = await kernel.request('inspect_request', { code: '1 + 1', cursor_pos: 2 });
    expect(nothing.reply).toMatchObject({ status: 'ok', found: false });
  });

  test('all cells share one library, and import() gives the same', async () => {
    expect(await kernel.text("(await import('multislit')).intensity === intensity")).toBe('true');
  });

  test.each([
    ['setTimeout', 'await new Promise((done) => setTimeout(done, 1)); 1', '1'],
    ['console', "console.log('a'); console.error('b')", 'a\nb\n'],
    ['URL', "new URL('http://example.org/a?b=1').searchParams.get('b')", "'1'"],
    ['Buffer', "Buffer.from('slit').toString('hex')", "'736c6974'"],
    ['process', 'typeof process.memoryUsage().rss', "'number'"],
    ['TextEncoder', "new TextEncoder().encode('s').length", '1'],
    ['structuredClone', 'structuredClone({ a: [1] }).a[0]', '1'],
    ['performance', 'performance.now() > 0', 'true'],
  ])('knows %s', async (_name, code, text) => {
    expect(await kernel.text(code)).toBe(text);
  });

  test('knows what only the whole of Node’s types declares', async () => {
    expect(
      await kernel.text('const channel = new MessageChannel(); channel.port1.close(); 1'),
    ).toBe('1');
  });

  test.each([
    ["import { join } from 'node:path'; join('a', 'b').length", '3'],
    ["import * as os from 'os'; typeof os.EOL", "'string'"],
    ["import fs from 'fs'; fs.existsSync('.')", 'true'],
    ["import { readFile as read } from 'fs/promises'; typeof read", "'function'"],
    ["const { sep } = await import('node:path'); sep.length", '1'],
  ])('Node’s own modules: %s', async (code, text) => {
    expect(await kernel.text(code)).toBe(text);
  });
});

describe('modules beside the notebook', () => {
  test('a TypeScript file, and what it says after a change', async () => {
    const file = join(folder.path, 'lengths.ts');
    writeFileSync(file, 'export const width: number = 40;\n');
    expect(await kernel.text("import { width } from './lengths'; width")).toBe('40');
    writeFileSync(file, 'export const width: number = 50;\n');
    utimesSync(file, new Date(), new Date(Date.now() + 5000));
    expect(await kernel.text("import { width } from './lengths'; width")).toBe('50');
  });

  test('a file that comes after it was missed', async () => {
    const first = await kernel.run("import { late } from './late'; late");
    expect(first.reply).toMatchObject({ status: 'error', ename: 'TypeScriptError' });
    expect(first.reply.evalue).toContain("Cannot find module './late'");
    writeFileSync(join(folder.path, 'late.ts'), "export const late = 'here';\n");
    expect(await kernel.text("import { late } from './late'; late")).toBe("'here'");
  });

  test('packages in the folder, CommonJS and ES modules', async () => {
    const add = (name: string, pack: object, file: string, text: string) => {
      const at = join(folder.path, 'node_modules', name);
      mkdirSync(at, { recursive: true });
      writeFileSync(join(at, 'package.json'), JSON.stringify({ name, version: '1.0.0', ...pack }));
      writeFileSync(join(at, file), text);
      writeFileSync(join(at, 'index.d.ts'), 'export const order: number;\n');
    };
    add('common', { main: 'index.js', types: 'index.d.ts' }, 'index.js', 'exports.order = 1;');
    const esm = { type: 'module', exports: './index.mjs', types: 'index.d.ts' };
    add('modern', esm, 'index.mjs', 'export const order = 2;');
    expect(await kernel.text("import { order as first } from 'common'; first")).toBe('1');
    expect(await kernel.text("import { order as second } from 'modern'; second")).toBe('2');
    expect(await kernel.text("import * as both from 'modern'; both.order")).toBe('2');
  });
});
