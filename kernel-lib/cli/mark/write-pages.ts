import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type ClassReport, classPage } from '../../marking/class-page';
import { studentPage } from '../../marking/student-page';
import { writeWhole } from '../files';

/** Write the pages that people read: one for the class, one for each student. Those that are as they were stay. */
export async function writePages(folder: string, report: ClassReport): Promise<void> {
  await writeChanged(join(folder, 'class.html'), classPage(report));
  mkdirSync(join(folder, 'students'), { recursive: true });
  for (const one of report.data.students)
    await writeChanged(
      join(folder, 'students', `${one.student}.html`),
      studentPage(one, report.data, report.zone),
    );
}

async function writeChanged(path: string, text: string): Promise<void> {
  if (existsSync(path) && readFileSync(path, 'utf8') === text) return;
  await writeWhole(path, text);
}
