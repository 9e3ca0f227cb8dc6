import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { handIn, modelReturn, oneSlit } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Was saved by an editor that keeps nbformat 4.0 and takes the ids of cells away.',
  outcome: /^marked$/,
  earns: 'all',
  put(folder, name, student) {
    const notebook = JSON.parse(writeNotebook(modelReturn(oneSlit, student)));
    notebook.nbformat_minor = 0;
    for (const cell of notebook.cells) delete cell.id;
    handIn(folder, `${name}.ipynb`, JSON.stringify(notebook));
  },
} satisfies HostileFile;
