import { describe, expect, test } from 'vitest';
import { classData } from '../../kernel-lib/marking/class-data';
import { gatheredRows, type NotMarked, withCompanions } from '../../kernel-lib/marking/not-marked';
import { recordOf, title } from './class-of-three';

const aside = (path: string, student?: string): NotMarked => ({
  ...{ path, reason: 'not a notebook', why: 'It is a picture.' },
  ...(student === undefined ? {} : { student }),
});
const read = [
  { path: '1001.zip/sheet.ipynb', student: '1001' },
  { path: '1002.ipynb', student: '1002' },
  { path: '1003.ipynb', student: '1003' },
];
const reasonOf = (path: string, student?: string) =>
  withCompanions([aside(path, student)], read)[0].reason;

test.each([
  ['1001.zip/photo.JPG', '1001', 'beside a notebook'],
  ['1001.zip/data/readings.csv', undefined, 'beside a notebook'],
  ['1002 photo.png', '1002', 'beside a notebook'],
  // Nobody's, another's, or what may hold the answers themselves.
  ['photo.png', undefined, 'not a notebook'],
  ['1004 photo.png', '1004', 'not a notebook'],
  ['1004/photo.png', '1004', 'not a notebook'],
  ['other/photo.png', undefined, 'not a notebook'],
  ['1001.zip/answers.docx', '1001', 'not a notebook'],
  ['1001.zip/copy.ipynb', '1001', 'not a notebook'],
])('%s of %s is told as %s', (path, student, reason) => {
  expect(reasonOf(path, student)).toBe(reason);
});

test('loose among the returns it is nobody’s, though one student handed in', () => {
  const [one] = withCompanions([aside('photo.png')], [{ path: '1002.ipynb', student: '1002' }]);
  expect(one.reason).toBe('not a notebook');
});

test('a picture beside a notebook is not held against its student', () => {
  const files = [aside('1003.zip/photo.png', '1003'), aside('1003.zip/a.docx', '1003')];
  const notMarked = withCompanions(files, [{ path: '1003.zip/s.ipynb', student: '1003' }]);
  const data = classData([recordOf('1003', [2, 2])], [title], { notMarked });
  expect(data.students[0].refused?.map(({ path }) => path)).toEqual(['1003.zip/a.docx']);
});

describe('rows for files that are not marked', () => {
  const of = (n: number, more: Partial<NotMarked> = {}): NotMarked[] =>
    Array.from({ length: n }, (_, i) => ({
      ...{
        path: `a.zip/${i}.txt`,
        reason: 'not a notebook' as const,
        why: 'No.',
        archive: 'a.zip',
      },
      ...more,
    }));

  test('a student’s archive of very many files has twenty rows, the last with a count', () => {
    const rows = gatheredRows(of(500), () => false);
    expect(rows).toHaveLength(20);
    expect(rows.at(-1)).toMatchObject({ count: 481, why: 'This and 480 more such files. No.' });
    expect(gatheredRows(of(20), () => false)).toHaveLength(20);
  });

  test('in the class’s archive, and outside of archives, each file has its own', () => {
    expect(gatheredRows(of(500), () => true)).toHaveLength(500);
    expect(gatheredRows(of(500, { archive: undefined }), () => false)).toHaveLength(500);
  });

  test('what systems left behind is one row for all', () => {
    const rows = gatheredRows(
      of(30, { reason: 'left by a system', archive: undefined }),
      () => true,
    );
    expect(rows).toEqual([expect.objectContaining({ count: 30 })]);
  });
});
