import { modelReturn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile, HostileFiles } from '../hostile-file';

/** A blank sheet in whose cell for the number stands something else. */
const numberCell = (
  tells: string,
  source: (student: string) => string,
  rest: Partial<HostileFile> = {},
): HostileFile => ({
  tells,
  what: (student) => returnOf(oneSlit, student, { 'student-number': source(student) }),
  ...rest,
});

export const studentNumbers: HostileFiles = {
  'commented-number': numberCell(
    'Has a class-mate’s number in a comment before its own.',
    (student) =>
      `// const studentNumber = '1001';\n/* studentNumber = '1002' */ const studentNumber = '${student}';`,
  ),
  'number-in-a-text': numberCell(
    'Has a class-mate’s number in a text that looks like the line with the number.',
    (student) =>
      `const old = "const studentNumber = '1001';";\nconst studentNumber = '${student}';`,
  ),
  'computed-number': numberCell(
    'Computes its number, so that reading it takes running it.',
    (student) => `const studentNumber = ['${student}', '1001'][Date.now() % 2];`,
    { outcome: /^unknown student$/ },
  ),
  'number-is-a-path': {
    tells: 'Has a path in the place of the student number.',
    outcome: /^unknown student$/,
    what: () => modelReturn(oneSlit, '../../1001'),
  },
  'mistyped-number': {
    tells: 'Has a number that nobody has, but its own in the name of the file.',
    earns: 'all',
    remark:
      /says 99887766, which nobody of the roster has.*judged with 99887766, too: no question has more/,
    as: (name, student) => `${student} ${name}.ipynb`,
    what: () => modelReturn(oneSlit, '99887766'),
  },
};
