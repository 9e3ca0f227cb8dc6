import { describe, expect, test } from 'vitest';
import { sourceOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import {
  notebookOfText,
  SheetTextError,
  textOfNotebook,
  unlocked,
} from '../../kernel-lib/notebook/sheet-text';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';

// A sheet about the lamp of a teaching laboratory, with whatever a text may hold.
const questions = [
  { id: '9.1', kind: 'number' },
  { id: '9.2', kind: 'function' },
  { id: '9.3', kind: 'written' },
  { id: '9.4', kind: 'sealed' },
];
const text = `# The lamp of the long room

About 10 minutes.

\`\`\`ts
const studentNumber = '000000';
\`\`\`

\`\`\`ts
const given = begin('09-a-lamp', studentNumber);
\`\`\`

## Look: what is there?

A filament, and

$$
a
=
b
$$

\`\`\`typescript
findRoot(f, 0, 1)
\`\`\`

\`\`\`ts
const tried = movable('current', 1, { from: 0, to: 4 });
\`\`\`

\`\`\`ts
show('more');
\`\`\`

## Predict

First think.

### 9.1 How hot?

Take care.

- one
- two

\`\`\`\`ts
const fence = \`
\`\`\`ts
\`;
\`\`\`\`

More is told between.

\`\`\`ts
const hot = blank;
\`\`\`

\`\`\`ts
check('9.1', hot);
\`\`\`

### 9.2 A function

#### A smaller heading

\`\`\`ts
function f(x: number): number { return NaN; }
\`\`\`

\`\`\`ts
check("9.2", f);
\`\`\`

### 9.3 Why?

Say why.

*Write here.*

## Last

### 9.4 Sealed

\`\`\`ts
const n = blank;
\`\`\`

\`\`\`ts
check('9.4', n);
\`\`\`
`;

const made = () => notebookOfText(text, '09-a-lamp', questions);

describe('a sheet’s text', () => {
  test('says which cells there are, and what each is for', () => {
    expect(
      made().cells.map(({ id, metadata: { multislit, editable, deletable } }) => [
        id,
        multislit?.role,
        multislit?.question,
        editable ?? true,
        deletable ?? true,
      ]),
    ).toEqual([
      ['title', 'text', undefined, false, false],
      ['student-number', 'work', undefined, true, true],
      ['given', 'given', undefined, false, false],
      ['look-what-is-there', 'text', undefined, false, false],
      ['look-what-is-there-move', 'given', undefined, false, false],
      ['look-what-is-there-move-2', 'given', undefined, false, false],
      ['9-1-text', 'text', '9.1', false, false],
      ['9-1-work', 'work', '9.1', true, true],
      ['9-1-text-2', 'text', '9.1', false, false],
      ['9-1-work-2', 'work', '9.1', true, true],
      ['9-1-answer', 'answer', '9.1', false, false],
      ['9-2-text', 'text', '9.2', false, false],
      ['9-2-work', 'work', '9.2', true, true],
      ['9-2-answer', 'answer', '9.2', false, false],
      ['9-3-text', 'text', '9.3', false, false],
      ['9-3-written', 'written', '9.3', true, true],
      ['9-4-text', 'text', '9.4', false, false],
      ['9-4-work', 'work', '9.4', true, true],
      ['9-4-answer', 'answer', '9.4', false, false],
    ]);
  });

  test('stands in the cells letter for letter', () => {
    const source = (id: string) => sourceOf(made().cells.find((cell) => cell.id === id)!);
    expect(source('look-what-is-there')).toMatch(/^## Look: what is there\?\n\nA filament/);
    expect(source('look-what-is-there')).toContain('$$\na\n=\nb\n$$\n\n```typescript\nfindRoot');
    expect(source('9-1-text')).toBe(
      '## Predict\n\nFirst think.\n\n### 9.1 How hot?\n\nTake care.\n\n- one\n- two',
    );
    expect(source('9-1-work')).toBe('const fence = `\n```ts\n`;');
    expect(source('9-3-written')).toBe('*Write here.*');
    expect(source('9-4-text')).toBe('## Last\n\n### 9.4 Sealed');
  });

  // Reading holds a notebook to nbformat's own schema.
  test('is a notebook that may be taken back, from a file and with every cell open', () => {
    const file = writeNotebook(unlocked(made()));
    expect(file).not.toMatch(/editable|deletable/);
    expect(textOfNotebook(readNotebook(file))).toBe(text);
    expect(notebookOfText(text.replaceAll('\n', '\r\n'), '09-a-lamp', questions)).toEqual(made());
  });

  /** What is put in the place of what, the text in whose line it is found, and what is said. */
  test.each([
    [
      "check('9.1', hot);",
      'show(hot);',
      '### 9.1',
      /^9\.1 is handed in nowhere: .*check\('9\.1', …\);$/,
    ],
    [
      "check('9.1', hot);",
      "check('9.4', hot);",
      "```ts\ncheck('9.4', hot)",
      /hands in 9\.4, but .* heading of 9\.1/,
    ],
    [
      '### 9.2 A function',
      '### 9.5 A function',
      '### 9.5',
      /has no question 9\.5; the next one is 9\.2/,
    ],
    [
      '### 9.2 A function',
      '### 9.3 A function',
      '### 9.3 A',
      /^9\.3 stands out of turn: .* is 9\.2/,
    ],
    ['*Write here.*\n', '```ts\n1\n```\n', '### 9.3', /^9\.3 is answered in writing: end it with/],
    [
      '*Write here.*\n',
      "```ts\ncheck('9.3', 1)\n```\n",
      "```ts\ncheck('9.3'",
      /in writing; it has no check/,
    ],
    [
      "show('more');",
      "check('9.1', 1);",
      "```ts\ncheck('9.1', 1)",
      /stands outside any question: .* ### 9\.1/,
    ],
    [
      "const studentNumber = '000000';",
      '1 + 1',
      '```ts\n1 + 1',
      /first code block holds the student number/,
    ],
    [
      '### 9.4 Sealed',
      '### Sealed',
      "```ts\ncheck('9.4'",
      /stands outside any question: .* ### 9\.4/,
    ],
  ])('names the line where something is amiss: %j as %j', (from, to, place, sentence) => {
    expect(text).toContain(from);
    const changed = text.replace(from, to);
    const line = changed.slice(0, changed.indexOf(place)).split('\n').length;
    const wrong = () => notebookOfText(changed, '09-a-lamp', questions);
    expect(wrong).toThrow(SheetTextError);
    expect(wrong).toThrow(sentence);
    try {
      wrong();
    } catch (error) {
      expect((error as SheetTextError).line).toBe(line);
    }
  });

  test('names each question that is not asked', () => {
    const more = [...questions, { id: '9.5', kind: 'number' }];
    expect(() => notebookOfText(text, '09-a-lamp', more)).toThrow(
      /^9\.5 of sheet\.ts is not asked/,
    );
  });
});
