import { cellById } from '../notebook/marks';
import { readNotebook } from '../notebook/read';
import { sourceOf } from '../notebook/text';
import type { AnyKey } from '../questions/sheet';
import type { Files } from './hand-out-files';

const plainly = (text: string) => text.replace(/\s+/g, ' ').trim();

/** Lines of the instructor's page that are text, not titles or rows of a table. */
const pageLines = ({ instructor }: AnyKey) =>
  instructor
    .split('\n')
    .map(plainly)
    .filter((line) => line.length > 40 && !/^[#|]/.test(line));

/**
 * What of a key stands in the sheet that is about to be handed out: a model answer left in the notebook, a sealed
 * formula or a mark scheme in sheet.ts. Sentences; none when all is well.
 */
export function leaksOf(key: AnyKey, files: Files): string[] {
  const { name } = key.sheet;
  const folder = `.build/worksheets/${name}`;
  const text = (file: string) => String(Buffer.from(files.get(`${folder}/${file}`) ?? ''));
  const notebook = readNotebook(text('sheet.ipynb'));
  const found: string[] = [];
  for (const [id, source] of Object.entries(key.model)) {
    const cell = cellById(notebook, id);
    if (cell && plainly(sourceOf(cell)) === plainly(source))
      found.push(`${name}/sheet.ipynb: cell ${id} holds its model answer.`);
  }
  const sheet = plainly(text('sheet.cjs'));
  const cells = plainly(notebook.cells.map(sourceOf).join('\n'));
  const secrets = [
    ...Object.values(key.schemes).flatMap((points) => points.map(({ point }) => point)),
    ...pageLines(key),
  ];
  for (const secret of secrets.map(plainly))
    if (sheet.includes(secret) || cells.includes(secret))
      found.push(`${name}: the sheet holds “${secret.slice(0, 60)}” of its key.`);
  for (const { id, kind, ...more } of key.sheet.questions)
    if (kind === 'sealed' && ('expected' in more || 'slips' in more || 'accepts' in more))
      found.push(`${name}/sheet.ts: question ${id} is sealed, but what is expected stands there.`);
  return found;
}
