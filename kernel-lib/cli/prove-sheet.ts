import { counted as howMany } from '../figures/shown';
import { findKey, originalNotebook } from '../kernel/sheets';
import { givensFor } from '../questions/draw';
import { judgePlain } from '../questions/judge';
import { type Proof, proveSheet, provingStudents } from '../questions/prove';
import { openForms } from '../questions/sheet';
import { readNotebookFile } from './files';

export type SheetProof = Proof;

/** How many blank notebooks are run; their cells do the same for every student. */
const blankRuns = 3;

/** Prove one sheet: by value, by running its model notebook, and by running it blank. */
export async function proveOneSheet(
  name: string,
  students: number,
  onStudent: (done: number, of: number) => void,
): Promise<SheetProof> {
  // Loaded only here: it brings a compiler along, for which the other commands would wait.
  const { modelRunner } = await import('../kernel/run-model');
  const key = findKey(name);
  const path = originalNotebook(name);
  if (!key || !path) throw new Error(`The sheet "${name}" is not built with its key.`);
  const original = readNotebookFile(path);
  const forms = openForms(key);
  const numbers = provingStudents(students);
  const runModel = modelRunner(key, original, path, forms, key.model);
  const runBlank = modelRunner(key, original, path, forms, {});

  const proof = await proveSheet(key, {
    students: numbers,
    onStudent,
    runModel,
  });

  const failures = [...proof.failures];
  for (const student of numbers.slice(0, blankRuns)) {
    const given = givensFor(key.sheet, student);
    const { answers, failed } = await runBlank(student, given);
    for (const what of failed) {
      failures.push({ student, question: '', what: `the blank notebook fails: ${what}` });
    }
    for (const question of forms) {
      const verdict = judgePlain(question, given, answers.get(question.id) ?? { is: 'blank' });
      if (verdict.marks > 0) {
        const what = `the blank notebook earns ${verdict.marks} marks`;
        failures.push({ student, question: question.id, what });
      }
    }
  }
  return { ...proof, failures };
}

/** A proof for people: one line, then what fails, alike ones once. */
export function proofText({ sheet, questions, slips, judged, students, failures }: Proof): string {
  const head = `${sheet}: ${howMany(questions, 'question')}, ${howMany(slips, 'slip')}, ${howMany(students, 'student number')}, ${howMany(judged, 'answer')} judged`;
  if (failures.length === 0) return `${head}. Holds.`;
  const groups = new Map<string, { count: number; first: string }>();
  for (const { student, question, what } of failures) {
    const place = question ? `${question}: ${what}` : what;
    const key = place.replace(/[-+\d.]+(?:e[-+]?\d+)?/gi, '#');
    const group = groups.get(key);
    if (group) group.count += 1;
    else groups.set(key, { count: 1, first: student ? `${place} (student ${student})` : place });
  }
  const lines = [...groups.values()].map(({ count, first }) => `  ${count} × ${first}`);
  return [`${head}. ${failures.length} FAILURES:`, ...lines.slice(0, 30)].join('\n');
}
