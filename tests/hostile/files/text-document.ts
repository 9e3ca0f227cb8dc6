import { strToU8, zipSync } from 'fflate';
import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Is the file of a word processor.',
  outcome: /^not a notebook$/,
  remark: /It is a text document, not a notebook/,
  put(folder, name) {
    const parts = ['[Content_Types].xml', '_rels/.rels', 'word/document.xml', 'word/styles.xml'];
    const zip = zipSync(Object.fromEntries(parts.map((part) => [part, strToU8('<x/>')])));
    handIn(folder, `${name}.docx`, zip);
  },
} satisfies HostileFile;
