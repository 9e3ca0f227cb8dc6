import { existsSync, readFileSync, statSync } from 'node:fs';
import { basename, join } from 'node:path';
import { contentOf, zipEntries } from '../marking/zip-entries';

/** The small file of a hand-out that tells what it is; `mark --hand-out` reads it. */
export const factsFile = 'hand-out.json';

/** What an instructor says of a hand-out. */
export interface HandOutFacts {
  readonly sheets: readonly string[];
  readonly course?: string;
  /** As it was typed: a day, or a day and time. */
  readonly deadline?: string;
  /** The instructor's zone, in which a deadline without one is meant. */
  readonly zone?: string;
}

const isText = (value: unknown) => typeof value === 'string';

/** @throws Error that names the file, with what was expected */
export function readFacts(path: string): HandOutFacts {
  const expected = `a hand-out's folder or zip, or its file ${factsFile}, was expected.`;
  if (!existsSync(path)) throw new Error(`${path} is not there; ${expected}`);
  let facts: HandOutFacts;
  try {
    facts = JSON.parse(textAt(path));
  } catch (error) {
    throw new Error(`${path} cannot be used (${(error as Error).message}); ${expected}`);
  }
  const { sheets, course = '', deadline = '', zone = '' } = facts ?? {};
  if (!Array.isArray(sheets) || ![...sheets, course, deadline, zone].every(isText))
    throw new Error(`${path} does not tell sheets, course and deadline; ${expected}`);
  return facts;
}

function textAt(path: string): string {
  if (statSync(path).isDirectory()) return readFileSync(join(path, factsFile), 'utf8');
  const bytes = readFileSync(path);
  if (!/\.zip$/i.test(path)) return String(bytes);
  const name = `${basename(path).replace(/\.zip$/i, '')}/${factsFile}`;
  for (const entry of zipEntries(bytes))
    if (
      entry.name === name ||
      (entry.name.endsWith(`/${factsFile}`) && entry.name.split('/').length === 2)
    )
      return new TextDecoder().decode(contentOf(bytes, entry));
  throw new Error(`there is no ${factsFile} in it`);
}

/** A time as a person reads it, in the time zone that it was given in: 2026-11-20T23:59+01:00 → 2026-11-20 23:59 (+01:00). */
export function readableTime(iso: string): string {
  const [, day, time, zone] = /^([\d-]{10})(?:T([\d:]{4,8})(.*))?$/.exec(iso) ?? [];
  if (!day) return iso;
  if (!time) return day;
  if (time === '24:00') return `the end of ${day} (${zone})`;
  return `${day} ${time}${zone ? ` (${zone === 'Z' ? 'UTC' : zone})` : ''}`;
}
