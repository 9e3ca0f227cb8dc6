import {
  autocompletion,
  type Completion,
  type CompletionContext,
  type CompletionResult,
  closeBrackets,
  closeBracketsKeymap,
  completionKeymap,
} from '@codemirror/autocomplete';
import { defaultKeymap, history, historyKeymap } from '@codemirror/commands';
import { javascript } from '@codemirror/lang-javascript';
import {
  bracketMatching,
  HighlightStyle,
  indentOnInput,
  syntaxHighlighting,
} from '@codemirror/language';
import { type Diagnostic, diagnosticCount, setDiagnostics } from '@codemirror/lint';
import { EditorState, Prec } from '@codemirror/state';
import { drawSelection, EditorView, keymap, lineNumbers } from '@codemirror/view';
import { tags } from '@lezer/highlight';
import type { KernelLine } from '../net/host';
import type { ErrorPlace } from '../sheet/outputs';

const ink = HighlightStyle.define([
  { tag: [tags.keyword, tags.operatorKeyword, tags.modifier], color: 'var(--code-keyword)' },
  { tag: [tags.number, tags.bool, tags.null], color: 'var(--code-number)' },
  { tag: [tags.string, tags.special(tags.string), tags.regexp], color: 'var(--code-string)' },
  { tag: [tags.comment], color: 'var(--code-comment)', fontStyle: 'italic' },
  { tag: [tags.typeName, tags.className], color: 'var(--code-type)' },
  {
    tag: [tags.function(tags.variableName), tags.function(tags.propertyName)],
    color: 'var(--code-name)',
  },
]);

interface EditorOptions {
  parent: HTMLElement;
  source: string;
  locked: boolean;
  label: string;
  kernel: KernelLine;
  onChange: (source: string) => void;
}

/** An editor for one cell. */
export function makeEditor({
  parent,
  source,
  locked,
  label,
  kernel,
  onChange,
}: EditorOptions): EditorView {
  const state = EditorState.create({
    doc: source,
    extensions: [
      EditorView.cspNonce.of(document.body.dataset.nonce ?? ''),
      EditorView.contentAttributes.of({
        'aria-label': label,
        spellcheck: 'false',
        autocorrect: 'off',
        autocapitalize: 'off',
      }),
      javascript({ typescript: true }),
      syntaxHighlighting(ink),
      EditorView.lineWrapping,
      locked
        ? [EditorState.readOnly.of(true), EditorView.editable.of(false)]
        : [
            lineNumbers(),
            history(),
            drawSelection(),
            indentOnInput(),
            bracketMatching(),
            closeBrackets(),
            autocompletion({
              override: [kernelCompletion(kernel)],
              icons: false,
              maxRenderedOptions: 60,
            }),
            Prec.high(keymap.of(completionKeymap)),
            keymap.of([...closeBracketsKeymap, ...defaultKeymap, ...historyKeymap]),
            EditorView.updateListener.of((update) => {
              if (!update.docChanged) return;
              onChange(update.state.doc.toString());
              // The underline was put on a text that stands there no more.
              if (diagnosticCount(update.state) > 0)
                queueMicrotask(() => underline(update.view, undefined));
            }),
          ],
    ],
  });
  return new EditorView({ state, parent });
}

/** Underline the place of an error, or take the line away. */
export function underline(view: EditorView, fault: ErrorPlace | undefined): void {
  const { doc } = view.state;
  const diagnostics: Diagnostic[] = [];
  if (fault && fault.line <= doc.lines) {
    const line = doc.line(Math.max(1, fault.line));
    const from = Math.min(line.from + Math.max(0, fault.column - 1), line.to);
    const word = view.state.wordAt(from);
    const to = word ? word.to : Math.min(from + 1, line.to);
    diagnostics.push({ from, to: Math.max(from, to), severity: 'error', message: fault.message });
  }
  view.dispatch(setDiagnostics(view.state, diagnostics));
}

/** Longest the editor waits for the kernel, which may be computing. */
const patience = 3000;

/** What the kernel answers in time; nothing when it fails, too. */
const within = <T>(promise: Promise<T>): Promise<T | undefined> =>
  Promise.race([
    promise.catch(() => undefined),
    new Promise<undefined>((done) => setTimeout(done, patience, undefined)),
  ]);

/** Completions come from the kernel, which knows the types of everything run so far. */
function kernelCompletion(kernel: KernelLine) {
  return async (context: CompletionContext): Promise<CompletionResult | null> => {
    const word = context.matchBefore(/[\w$]+|\./);
    if (!word && !context.explicit) return null;
    const code = context.state.doc.toString();
    const found = await within(kernel.complete(code, context.pos));
    if (!found || context.aborted) return null;
    const { from, matches } = found;
    const options = matches.map(
      ({ text, type, signature }): Completion => ({
        label: text,
        detail: signature ?? type,
        info: () => about(kernel, code.slice(0, from) + text, code.slice(context.pos)),
      }),
    );
    return { from, options, validFor: /^[\w$]*$/ };
  };
}

/** Type and description of what would stand there. */
async function about(kernel: KernelLine, before: string, after: string): Promise<Node | null> {
  const text = await within(kernel.inspect(before + after, before.length));
  if (text === undefined) return null;
  const box = document.createElement('div');
  box.className = 'about';
  box.textContent = text;
  return box;
}
