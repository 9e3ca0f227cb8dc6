import { truncateSync, writeFileSync } from 'node:fs';
import { strToU8, zipSync } from 'fflate';
import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFiles } from '../hostile-file';

const outcome = /^not a notebook$/;

export const notNotebooks: HostileFiles = {
  binary: {
    tells: 'Is bytes of nothing in particular.',
    outcome,
    what: () => Uint8Array.from({ length: 5000 }, (_, i) => (i * 131) % 251),
  },
  empty: { tells: 'Is an empty file.', outcome, what: () => '' },
  'not-json': {
    tells: 'Is not JSON, though it is named like a notebook.',
    outcome,
    what: () => '%PDF-1.4 homework',
  },
  'no-notebook': {
    tells: 'Is JSON, but no notebook.',
    outcome,
    what: (student) => JSON.stringify({ marks: 21, student }),
  },
  'nested-json': {
    tells: 'Is JSON nested a hundred thousand deep.',
    outcome,
    what: () => `{"cells":${'['.repeat(1e5)}${']'.repeat(1e5)}}`,
  },
  'format-object': {
    tells: 'Gives as its format a thing that cannot even be written down.',
    outcome,
    what: () => '{"cells":[],"nbformat":{"toString":1,"valueOf":1}}',
  },
  'old-format': {
    tells: 'Says that it is of another format.',
    outcome,
    what: (student) => ({ ...modelReturn(oneSlit, student), nbformat: 3 }),
  },
  'cut-off': {
    tells: 'Was cut off while it was copied.',
    outcome,
    what: (student) => {
      const text = writeNotebook(modelReturn(oneSlit, student));
      return text.slice(0, text.length / 2);
    },
  },
  picture: {
    tells: 'Is a photograph that is named like a notebook.',
    outcome,
    remark: /It is a picture, not a notebook/,
    what: () => Uint8Array.from([0xff, 0xd8, 0xff, 0xe0, 0, 16]),
  },
  'text-document': {
    tells: 'Is the file of a word processor.',
    outcome,
    remark: /It is a text document, not a notebook/,
    as: (name) => `${name}.docx`,
    what: () => {
      const parts = ['[Content_Types].xml', '_rels/.rels', 'word/document.xml', 'word/styles.xml'];
      return zipSync(Object.fromEntries(parts.map((part) => [part, strToU8('<x/>')])));
    },
  },
  'hundred-megabytes': {
    tells: 'Has a hundred megabytes.',
    outcome: /^too large$/,
    put(path) {
      writeFileSync(path, '{"cells": [');
      truncateSync(path, 100 * 2 ** 20);
    },
  },
};
