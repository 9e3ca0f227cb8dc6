import type { Output } from '../../notebook/notebook';
import type { Published } from './outputs';
import type { SheetModel } from './sheet-model';

/** Remembers which output has which display id, so that the kernel can change what it showed before. */
export class Displays {
  private readonly ids = new WeakMap<Output, string>();

  /** Note the newest of these outputs if the message gave it an id. */
  note(outputs: readonly Output[], { content }: Published): void {
    const id = content.transient?.display_id;
    const last = outputs.at(-1);
    if (typeof id === 'string' && last) this.ids.set(last, id);
  }

  /** Change every output with the message's display id. */
  update(model: SheetModel, { content }: Published): void {
    const id = content.transient?.display_id;
    for (const cell of model.cells.value) {
      if (cell.cell_type !== 'code' || !cell.outputs.some((output) => this.ids.get(output) === id))
        continue;
      const outputs = cell.outputs.map((output) => {
        if (this.ids.get(output) !== id || !('data' in output)) return output;
        const changed = { ...output, data: content.data, metadata: content.metadata ?? {} };
        this.ids.set(changed, id);
        return changed;
      });
      model.setOutputs(cell.id, outputs);
    }
  }
}
