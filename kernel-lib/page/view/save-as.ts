import type { MadeFile } from '../net/host';

/** Longest that a browser may take to fetch what it is given to save, ms. */
const longEnough = 60_000;

const types: Readonly<Record<string, string>> = {
  zip: 'application/zip',
  csv: 'text/csv',
  json: 'application/json',
  png: 'image/png',
  svg: 'image/svg+xml',
  webm: 'video/webm',
};

/** Let the browser save a file where it keeps its downloads. */
export function saveAs({ name, content }: MadeFile): void {
  const [, end = ''] = /\.(\w+)$/.exec(name) ?? [];
  const type = types[end] ?? 'application/x-ipynb+json';
  const address = URL.createObjectURL(new Blob([content as BlobPart], { type }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), longEnough);
}
