import { describe, expect, test } from 'vitest';
import { numberInCode } from '../../kernel-lib/marker/gather-returns';

const numberOf = (source: string) => numberInCode(source)?.value;

describe('the student number in code', () => {
  // What each of these makes of studentNumber is a matter of the language, ECMA-262.
  test.each([
    ["const studentNumber = '204117';   // type your own", '204117'],
    ["// const studentNumber = '204118';\nconst studentNumber = '204117';", '204117'],
    ["/* studentNumber = '204118'; */ let studentNumber: string = `204117`;", '204117'],
    [`const old = "studentNumber = '204118'";\nvar studentNumber = "204117"`, '204117'],
    ["let studentNumber = '204118';\nstudentNumber = '204117';", '204117'],
    ["function f() { const studentNumber = '204118'; }\nconst studentNumber = '204117';", '204117'],
    ["const a = 1, studentNumber = '204117', b = 2;", '204117'],
    ['const studentNumber = 204117;', '204117'],
    ["const studentNumber = ' 204117 ';", '204117'],
    ["const studentNumber = '20\\x34117';", '204117'],
  ])('%j', (source, value) => expect(numberOf(source)).toBe(value));

  test.each([
    '',
    "// const studentNumber = '204117';",
    "const studentNumber = '20' + '4117';",
    'begin(',
  ])('%j gives none', (source) => expect(numberOf(source)).toBeUndefined());

  test('says where it stands, and whether there is more in the cell', () => {
    const source = 'const helper = 2;\nlet studentNumber = `1001`; // me';
    const found = numberInCode(source);
    expect(found?.places.map(({ start, end }) => source.slice(start, end))).toEqual([' `1001`']);
    expect(found?.isAlone).toBe(false);
    expect(numberInCode("const studentNumber = '1001';; // me")?.isAlone).toBe(true);
  });
});
