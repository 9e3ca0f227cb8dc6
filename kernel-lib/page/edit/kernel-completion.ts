import {
  acceptCompletion,
  autocompletion,
  type Completion,
  type CompletionContext,
  type CompletionResult,
  closeCompletion,
  completionKeymap,
  completionStatus,
  selectedCompletion,
} from '@codemirror/autocomplete';
import { syntaxTree } from '@codemirror/language';
import { type Extension, Prec } from '@codemirror/state';
import { EditorView, keymap } from '@codemirror/view';
import type { KernelLine } from '../net/host';
import { aboutAt } from './about';
import { within } from './within';

/** So many letters of a name, before names are offered by themselves: one alone is often the whole name. */
const fewestLetters = 2;

/** What is being typed just before a place, when names may be offered for it: a begun name, or what follows a point. */
function begun(before: string): string | undefined {
  const [run] = /[\p{L}\p{N}_$.]*$/u.exec(before) ?? [''];
  // A number, with or without its point: 0.594, 5e7, 3. and what follows it.
  if (/^\.?\d/.test(run)) return undefined;
  const [name] = /[\p{L}\p{N}_$]*$/u.exec(run) ?? [''];
  if (run.endsWith(`.${name}`)) {
    const owner = before.slice(0, before.length - name.length - 1);
    return /[\p{L}\p{N}_$)\]]$/u.test(owner) ? name : undefined;
  }
  // A new name is the student's to choose.
  if (/\b(?:const|let|var|function|class)\s+[\p{L}\p{N}_$]*$/u.test(before)) return undefined;
  return name.length >= fewestLetters ? name : undefined;
}

const isModuleName = (before: string): boolean => /\bfrom\s*['"][^'"]*$/.test(before);

/** In a comment nothing is offered; in text only a module's name is. */
function isProse({ state, pos }: CompletionContext, line: string): boolean {
  const { name } = syntaxTree(state).resolveInner(pos, -1);
  if (/Comment/.test(name)) return true;
  return /^(?:String|TemplateString)$/.test(name) && !isModuleName(line);
}

/** A list does not wait for its turn to close: it goes as soon as what is typed is no name any more. */
const closing = EditorView.updateListener.of(({ docChanged, state, view }) => {
  if (!docChanged || completionStatus(state) === null) return;
  const { head } = state.selection.main;
  const { text, from } = state.doc.lineAt(head);
  const before = text.slice(0, head - from);
  if (begun(before) === undefined && !isModuleName(before))
    queueMicrotask(() => closeCompletion(view));
});

/** Completions come from the kernel, which knows the types of everything run so far. */
function fromKernel(kernel: KernelLine) {
  return async (context: CompletionContext): Promise<CompletionResult | null> => {
    const { text, from: lineFrom } = context.state.doc.lineAt(context.pos);
    const before = text.slice(0, context.pos - lineFrom);
    const isOffered = isModuleName(before) || begun(before) !== undefined;
    if (isProse(context, before) || !isOffered) return null;
    const code = context.state.doc.toString();
    const found = await within(kernel.complete(code, context.pos));
    if (!found || context.aborted) return null;
    const { from, matches } = found;
    const options = matches.map(
      ({ text, type, signature }): Completion => ({
        label: text,
        detail: signature ?? type,
        info: async () => {
          const whole = code.slice(0, from) + text;
          const about = await aboutAt(kernel, whole + code.slice(context.pos), whole.length);
          return about ?? null;
        },
      }),
    );
    return { from, options, validFor: /^[\p{L}\p{N}_$]*$/u };
  };
}

/** Enter behind a name that is whole begins a new line, as it does without a list. */
function enter(view: EditorView): boolean {
  if (completionStatus(view.state) !== 'active') return false;
  const { head } = view.state.selection.main;
  const { text, from } = view.state.doc.lineAt(head);
  const [typed] = /[\p{L}\p{N}_$]*$/u.exec(text.slice(0, head - from)) ?? [''];
  if (selectedCompletion(view.state)?.label !== typed) return acceptCompletion(view);
  closeCompletion(view);
  return false;
}

export const kernelCompletion = (kernel: KernelLine): Extension => [
  autocompletion({
    override: [fromKernel(kernel)],
    icons: false,
    maxRenderedOptions: 60,
    defaultKeymap: false,
  }),
  closing,
  Prec.highest(keymap.of([{ key: 'Enter', run: enter }])),
  Prec.high(keymap.of(completionKeymap.filter(({ key }) => key !== 'Enter'))),
];
