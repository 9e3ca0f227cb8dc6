import type { MimeBundle } from '../display/bundle';
import { type CellOutput, fullRoom, outputBounds } from '../marking/run-report';

/** Gathers what the cells of one return print and show, within the bounds that the marker will hold it to. */
export function outputGatherer() {
  const room = fullRoom();

  /** For one cell. */
  return function gather() {
    const outputs: CellOutput[] = [];
    let left = outputBounds.text;
    let isCut = false;
    /** Where the displays stand that can be changed, and the last that each was to show. */
    const places = new Map<string, number>();
    const changes = new Map<string, MimeBundle>();

    function cut(text: string): string {
      const most = Math.max(0, Math.min(left, room.text));
      if (text.length > most) isCut = true;
      const kept = text.slice(0, most);
      left -= kept.length;
      room.text -= kept.length;
      return kept;
    }

    function pictureOf(bundle: MimeBundle): { png?: string } {
      const png = bundle['image/png'];
      if (typeof png !== 'string' || png.length > Math.min(outputBounds.png, room.png)) return {};
      room.png -= png.length;
      return { png };
    }

    return {
      outputs,
      /** True when something was left out. */
      get isCut() {
        return isCut;
      },
      print(name: 'stdout' | 'stderr', text: string): void {
        const last = outputs.at(-1);
        const same = last?.is === 'printed' && last.name === name;
        if (!same && outputs.length >= outputBounds.outputs) isCut = true;
        if (isCut) return;
        const kept = cut(text);
        if (same) outputs[outputs.length - 1] = { ...last, text: last.text + kept };
        else if (kept !== '') outputs.push({ is: 'printed', name, text: kept });
      },
      /** Only plain text and PNG leave; other forms of a bundle are never even made. */
      show(is: 'shown' | 'value', bundle: MimeBundle, id?: string): void {
        if (outputs.length >= outputBounds.outputs) isCut = true;
        if (isCut) return;
        if (id !== undefined) places.set(id, outputs.length);
        const text = bundle['text/plain'];
        outputs.push({
          is,
          text: cut(typeof text === 'string' ? text : ''),
          ...pictureOf(bundle),
        });
      },
      /** Only what a display shows at the end is kept. */
      update(id: string, bundle: MimeBundle): void {
        if (places.has(id)) changes.set(id, bundle);
      },
      /** The cell has ended: put into place what its displays show last. */
      settle(): void {
        for (const [id, bundle] of changes) {
          const text = bundle['text/plain'];
          const kept = cut(typeof text === 'string' ? text : '');
          outputs[places.get(id)!] = { is: 'shown', text: kept, ...pictureOf(bundle) };
        }
        changes.clear();
      },
      clear(): void {
        outputs.length = 0;
        places.clear();
        changes.clear();
      },
    };
  };
}
