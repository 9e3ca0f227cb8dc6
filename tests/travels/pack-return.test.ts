import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { strFromU8, unzipSync } from 'fflate';
import { expect, test, vi } from 'vitest';
import { program } from '../../kernel-lib/cli/program';
import { base64, bytesOfBase64 } from '../../kernel-lib/display/base64';
import { encodePicture } from '../../kernel-lib/fitting/slits/slit-picture';
import { type Cell, type Notebook, withStudentNumber } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { packReturn } from '../../kernel-lib/travels/pack-return';
import { scratch } from '../scratch';

const { at } = scratch('pack-return-');

const plain = encodePicture({ width: 2, height: 1, channels: 1, data: Uint8Array.of(9, 200) });
/** The same with a text in front of its end (W3C PNG, 11.3.4.3, from memory); the checksum is nobody's business here. */
const telling = new Uint8Array(
  Buffer.concat([
    plain.subarray(0, -12),
    Buffer.from([0, 0, 0, 16]),
    Buffer.from('tEXtPlace\0Room 12, N'),
    Buffer.from([0, 0, 0, 0]),
    plain.subarray(-12),
  ]),
);
const address = (bytes: Uint8Array) => `data:image/png;base64,${base64(bytes)}`;

const notebook = (picture: Uint8Array): Notebook => {
  const data = {
    'image/png': base64(picture),
    'text/html': `<img src="${address(picture)}" alt="x">`,
    'application/json': { deep: [{ images: [`${address(picture)} and more`] }] },
    'text/plain': 'data:image/ is told of',
  };
  const output = { output_type: 'display_data', data, metadata: {} };
  const cells = [
    {
      id: 'a',
      cell_type: 'code',
      source: 'x',
      metadata: {},
      outputs: [output],
      execution_count: 1,
    },
    {
      ...{ id: 'b', cell_type: 'markdown', source: '![x](attachment:x.png)', metadata: {} },
      attachments: { 'x.png': { 'image/png': base64(picture) } },
    },
  ] as unknown as Cell[];
  return { nbformat: 4, nbformat_minor: 5, metadata: {}, cells };
};

test('pictures in outputs and texts are bare of what they tell, and else the same', () => {
  const { name, content } = packReturn(notebook(telling), '1-a.ipynb', []);
  expect(name).toBe('1-a.ipynb');
  expect(content).toBe(writeNotebook(notebook(plain)));
  expect(bytesOfBase64(base64(telling))).toEqual(telling);
});

test('where there is nothing to take out the notebook is the very same', () => {
  expect(packReturn(notebook(plain), '1-a.ipynb', []).content).toBe(writeNotebook(notebook(plain)));
});

test('with files it is a zip: bare pictures, and tables as they are', () => {
  const table = new TextEncoder().encode('x;y\n1;2\n');
  const files = [
    { name: 'my.png', bytes: telling },
    { name: 'my.csv', bytes: table },
  ];
  const { name, content } = packReturn(notebook(telling), '1-a.ipynb', files);
  expect(name).toBe('1-a.zip');
  const parts = unzipSync(content as Uint8Array);
  expect(Object.keys(parts)).toEqual(['1-a.ipynb', 'my.png', 'my.csv']);
  expect(parts['my.png']).toEqual(plain);
  expect(parts['my.csv']).toEqual(table);
  expect(readNotebook(strFromU8(parts['1-a.ipynb'])).cells).toHaveLength(2);
});

test('a picture that cannot be looked into does not go along unseen', () => {
  const heic = new TextEncoder().encode('\0\0\0\u0018ftypheic with a place in it');
  const files = [{ name: 'my.jpg', bytes: heic }];
  expect(() => packReturn(notebook(plain), '1-a.ipynb', files)).toThrow(
    /^my.jpg is no PNG or JPEG .* cannot be taken out/,
  );
});

const sheet = readNotebook(
  readFileSync(
    fileURLToPath(new URL('../../worksheets/02-one-slit/sheet.ipynb', import.meta.url)),
    'utf8',
  ),
);
const mine = withStudentNumber(sheet, '204117');
/** A sheet as it lies in Jupyter's folder, with a cell of one's own. */
function lay(name: string, source: string, notebook = mine): string {
  const cell = {
    id: 'own',
    cell_type: 'code',
    source,
    metadata: {},
    outputs: [],
    execution_count: null,
  };
  const cells = [...notebook.cells, cell as unknown as Cell];
  writeFileSync(at(name), writeNotebook({ ...notebook, cells }));
  return at(name);
}
async function pack(...args: string[]): Promise<string> {
  const log = vi.spyOn(console, 'log').mockImplementation(() => {});
  try {
    await program().parseAsync(['pack', ...args], { from: 'user' });
    return log.mock.calls.join('\n');
  } finally {
    log.mockRestore();
  }
}

test('from plain Jupyter: one zip beside the notebook, of it and of the files that it reads, pictures bare', async () => {
  writeFileSync(at('my photo.png'), telling);
  writeFileSync(at('not-named.png'), telling);
  const path = lay('one.ipynb', "show(await pictureProfile('my photo.png', {}))");
  const before = readFileSync(path);
  expect(await pack(path)).toContain('204117-02-one-slit.zip, with my photo.png');
  const files = unzipSync(readFileSync(at('204117-02-one-slit.zip')));
  expect(Object.keys(files).sort()).toEqual(['204117-02-one-slit.ipynb', 'my photo.png']);
  expect(files['my photo.png']).toEqual(new Uint8Array(plain));
  const packed = readNotebook(strFromU8(files['204117-02-one-slit.ipynb']));
  expect(packed.cells).toEqual(readNotebook(before.toString()).cells);
  expect(readFileSync(path)).toEqual(before);
});

test('a sheet that reads no file is the notebook alone; what has its name already is left as it is', async () => {
  const path = lay('204117-02-one-slit.ipynb', '1 + 1');
  const before = readFileSync(path);
  await expect(pack(path)).rejects.toThrow(/is there already and may be your work/);
  expect(readFileSync(path)).toEqual(before);
  await expect(pack(path, '--to', at('nowhere'))).rejects.toThrow(/there is no folder/);
});

test('what is no sheet, or has nobody’s number, is refused with what to do', async () => {
  await expect(pack(lay('a.ipynb', '', sheet))).rejects.toThrow(/student's number/);
  await expect(pack(at('gone.ipynb'))).rejects.toThrow(/cannot be read/);
});

test('a name written with other capital letters is told', async () => {
  writeFileSync(at('Slits.png'), telling);
  const path = lay('capitals.ipynb', "readPicture('slits.png')");
  mkdirSync(at('out'));
  expect(await pack(path, '--to', at('out'))).toMatch(/capital letters count/);
});
