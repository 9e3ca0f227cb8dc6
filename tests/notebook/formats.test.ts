import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { originalNotebook } from '../../kernel-lib/kernel/sheets';
import {
  type Notebook,
  sourceOf,
  withIdsOf,
  withSources,
} from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';

const original = readNotebook(readFileSync(originalNotebook('02-one-slit') as string, 'utf8'));
const answered = withSources(original, { '2-1-work': 'const firstDarkLine = 0.66;' });

/** As an editor of an older format saves it: no ids, the number of that format. */
function inFormat(minor: number, notebook: Notebook): Notebook & { cells: object[] } {
  const cells = notebook.cells.map(({ id: _, ...cell }) => cell);
  return { ...notebook, nbformat_minor: minor, cells } as never;
}
const ids = ({ cells }: Notebook) => cells.map(({ id }) => id);

const judge = `
import json, sys, nbformat
for line in sys.stdin:
    nbformat.validate(nbformat.from_dict(json.loads(line)))
    print("sound")
`;
const hasNbformat = spawnSync('/usr/bin/python3', ['-c', 'import nbformat']).status === 0;

describe('notebooks of nbformat 4.0 to 4.4', () => {
  test.each([0, 1, 2, 3, 4])('4.%s: every cell has its id again by its mark', (minor) => {
    const read = readNotebook(JSON.stringify(inFormat(minor, answered)));
    expect(read.nbformat_minor).toBe(5);
    expect(new Set(ids(read)).size).toBe(original.cells.length);
    const laid = withIdsOf(original, read);
    expect(ids(laid)).toEqual(ids(original));
    expect(laid.cells.map(sourceOf)).toEqual(answered.cells.map(sourceOf));
  });

  // Source: nbformat 5.5.0 (Debian 12), its published schemas for 4.0 to 4.5.
  test.skipIf(!hasNbformat)(
    'Jupyter’s own reader takes both what came and what is made of it',
    () => {
      const lines = [0, 1, 2, 3, 4].flatMap((minor) => {
        const old = JSON.stringify(inFormat(minor, answered));
        return [old, JSON.stringify(JSON.parse(writeNotebook(readNotebook(old))))];
      });
      const { stdout, stderr } = spawnSync('/usr/bin/python3', ['-c', judge], {
        input: lines.join('\n'),
        encoding: 'utf8',
      });
      expect(stdout.match(/sound/g) ?? stderr).toHaveLength(10);
    },
  );

  test('a format that is no number is told, and nothing of it is called', () => {
    const text = '{"cells":[],"nbformat":{"toString":1,"valueOf":1}}';
    expect(() => readNotebook(text)).toThrow(/format \?\.\?, but 4\.0 to 4\.5 are read/);
  });

  test('the place of a fault is cut, however long a key is', () => {
    const cell = { cell_type: 'code', id: 'a', source: '', outputs: [], execution_count: 'x' };
    const text = JSON.stringify({
      ...{ nbformat: 4, nbformat_minor: 5, metadata: { kernelspec: {} } },
      cells: [{ ...cell, metadata: { ['k'.repeat(60_000)]: 1 }, attachments: 3 }],
    });
    try {
      readNotebook(text);
      expect.unreachable();
    } catch (error) {
      expect((error as Error).message.length).toBeLessThan(500);
    }
  });
});

describe('ids laid anew', () => {
  test('a pasted answer has its id again; one that was copied and is still there does not', () => {
    const at = original.cells.findIndex(({ id }) => id === '2-1-work');
    const pasted = { ...original.cells[at], id: 'pasted', source: 'const firstDarkLine = 1;' };
    const moved = { ...original, cells: [...original.cells.filter((_, i) => i !== at), pasted] };
    expect(withIdsOf(original, moved).cells.at(-1)?.id).toBe('2-1-work');
    const copied = { ...original, cells: [...original.cells, pasted] };
    expect(withIdsOf(original, copied).cells.at(-1)?.id).toBe('pasted');
  });

  test('of a cell that was split in two the first part keeps the place', () => {
    const at = original.cells.findIndex(({ id }) => id === '2-1-work');
    const parts = ['one', 'two'].map((id) => ({ ...original.cells[at], id, source: `// ${id}` }));
    const cells = original.cells.flatMap((cell, i) => (i === at ? parts : [cell]));
    const laid = withIdsOf(original, { ...original, cells });
    expect(ids(laid).filter((id) => /^(?:2-1-work|one|two)$/.test(id))).toEqual([
      '2-1-work',
      'two',
    ]);
  });
});
