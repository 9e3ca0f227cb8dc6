import { syntaxTree } from '@codemirror/language';
import { type EditorState, type Extension, StateEffect, StateField } from '@codemirror/state';
import {
  closeHoverTooltips,
  EditorView,
  hoverTooltip,
  keymap,
  showTooltip,
  type Tooltip,
} from '@codemirror/view';
import type { KernelLine } from '../net/host';
import { within } from './within';

const box = (text: string, kind = 'about'): HTMLElement => {
  const made = document.createElement('div');
  made.className = kind;
  made.textContent = text;
  return made;
};

/** Type, description and example of what stands at a place, as the kernel tells them. */
export async function aboutAt(
  kernel: KernelLine,
  code: string,
  at: number,
): Promise<HTMLElement | undefined> {
  const text = await within(kernel.inspect(code, at));
  if (text === undefined || text.trim() === '') return undefined;
  // The head is what it is, in code; behind the first gap stands what is said of it.
  const [head, ...rest] = text.trim().split(/\n\s*\n/);
  const made = box('');
  made.append(box(head, 'head'));
  if (rest.length > 0) made.append(box(rest.join('\n\n'), 'said'));
  return made;
}

/** From where to where the name at a place reaches; nothing in comments, texts and numbers. */
function nameAt(state: EditorState, at: number): { from: number; to: number } | undefined {
  const word = state.wordAt(at);
  if (!word) return undefined;
  const text = state.sliceDoc(word.from, word.to);
  if (/^\d/.test(text)) return undefined;
  const { name } = syntaxTree(state).resolveInner(word.from, 1);
  return /Comment|String|Number/.test(name) ? undefined : { from: word.from, to: word.to };
}

const put = StateEffect.define<Tooltip | undefined>();

/** What was asked for by a key or a touch; it goes when anything is typed, and when the caret moves away. */
const asked = StateField.define<Tooltip | undefined>({
  create: () => undefined,
  update(now, { effects, docChanged, selection }) {
    for (const effect of effects) if (effect.is(put)) return effect.value;
    return docChanged || selection ? undefined : now;
  },
  provide: (field) => showTooltip.from(field, (tooltip) => tooltip ?? null),
});

const nothingKnown =
  'Nothing is known of this name so far. Run the cell that makes it, or wait until the kernel is ready.';
const noName = 'Put the caret into a name, such as Math.asin, and press F1 there.';

async function show(view: EditorView, kernel: KernelLine): Promise<void> {
  const { state } = view;
  const { head } = state.selection.main;
  const name = nameAt(state, head);
  const about = name && (await aboutAt(kernel, state.doc.toString(), head));
  if (view.state.doc !== state.doc) return;
  const dom = about ?? box(name ? nothingKnown : noName);
  const tooltip: Tooltip = { pos: name?.from ?? head, above: true, create: () => ({ dom }) };
  // Under the mouse the same may stand already.
  view.dispatch({ effects: [put.of(tooltip), closeHoverTooltips] });
}

function hide(view: EditorView): boolean {
  if (!view.state.field(asked, false)) return false;
  view.dispatch({ effects: put.of(undefined) });
  return true;
}

/** What a name means: where the mouse rests, at the caret by F1, and of a name that is marked by touch. */
export const aboutNames = (kernel: KernelLine): Extension => [
  asked,
  hoverTooltip(
    async (view, at) => {
      const { state } = view;
      const name = nameAt(state, at);
      const dom = name && (await aboutAt(kernel, state.doc.toString(), at));
      // What was asked for by a key stays alone until it goes.
      return dom && !view.state.field(asked)
        ? { pos: name.from, end: name.to, above: true, create: () => ({ dom }) }
        : null;
    },
    { hoverTime: 400 },
  ),
  keymap.of([
    {
      key: 'F1',
      run(view) {
        void show(view, kernel);
        return true;
      },
      preventDefault: true,
    },
    { key: 'Escape', run: hide },
  ]),
  EditorView.domEventHandlers({
    pointerup(event, view) {
      if (event.pointerType !== 'touch') return;
      // The selection that the touch makes comes after it.
      setTimeout(() => {
        const { from, to, empty } = view.state.selection.main;
        const name = empty ? undefined : nameAt(view.state, from);
        if (name?.from === from && name.to === to) void show(view, kernel);
      });
    },
    blur: (_event, view) => {
      hide(view);
    },
  }),
];
