import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import { multislit } from './multislit';

/** A hand-out of all sheets, with its files as the zip has them. */
export interface HandOut {
  readonly folder: string;
  at(...parts: string[]): string;
  /** Path in the zip, `class/…`, and bytes. */
  readonly zip: Readonly<Record<string, Uint8Array>>;
  textOf(path: string): string;
  jsonOf(path: string): ReturnType<typeof JSON.parse>;
  remove(): void;
}

/** Make one in a folder of its own. */
export async function handOut(): Promise<HandOut> {
  const folder = mkdtempSync(join(tmpdir(), 'hand out '));
  const at = (...parts: string[]) => join(folder, ...parts);
  const told = ['--course', 'Optics II, Alderbeck College', '--deadline', '2026-12-04T23:59+01:00'];
  const { code, err } = await multislit(['hand-out', '--to', at('class'), ...told]);
  if (code !== 0 || err !== '') throw new Error(`hand-out ended with ${code}: ${err}`);
  const zip = unzipSync(readFileSync(at('class.zip')));
  const textOf = (path: string) => Buffer.from(zip[`class/${path}`]).toString();
  return {
    folder,
    at,
    zip,
    textOf,
    jsonOf: (path) => JSON.parse(textOf(path)),
    remove: () => rmSync(folder, { recursive: true, maxRetries: 5 }),
  };
}
