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
import type { KernelLink } from '../net/kernel-link';
import type { ErrorPlace } from '../sheet/outputs';
import { codePointsBefore, indexOfCodePoint } from './code-points';

interface TypedMatch {
  text: string;
  type?: string;
  signature?: string;
}

/** Longest the editor waits for the kernel, which may be computing. */
const patience = 3000;

const within = <T>(promise: Promise<T>): Promise<T | undefined> =>
  Promise.race([promise, new Promise<undefined>((done) => setTimeout(done, patience, undefined))]);

/** Completions come from the kernel, which knows the types of everything run so far. */
export function kernelCompletion(link: KernelLink) {
  return async (context: CompletionContext): Promise<CompletionResult | null> => {
    const word = context.matchBefore(/[\w$]+|\./);
    if (!word && !context.explicit) return null;
    const code = context.state.doc.toString();
    const reply = await within(
      link.complete(code, codePointsBefore(code, context.pos)).catch(() => undefined),
    );
    if (reply?.status !== 'ok' || context.aborted) return null;
    const from = indexOfCodePoint(code, reply.cursor_start);
    const typed = (reply.metadata?._jupyter_types_experimental ?? []) as unknown as TypedMatch[];
    const byText = new Map(typed.map((match) => [match.text, match]));
    const options = reply.matches.map((label): Completion => {
      const match = byText.get(label);
      return {
        label,
        detail: match?.signature ?? match?.type,
        info: () => about(link, code.slice(0, from) + label, code.slice(context.pos)),
      };
    });
    return { from, options, validFor: /^[\w$]*$/ };
  };
}

/** Type and description of what would stand there. */
async function about(link: KernelLink, before: string, after: string): Promise<Node | null> {
  const code = before + after;
  const reply = await within(
    link.inspect(code, codePointsBefore(code, before.length)).catch(() => undefined),
  );
  const text = reply?.status === 'ok' && reply.found ? reply.data['text/plain'] : undefined;
  if (typeof text !== 'string') return null;
  const box = document.createElement('div');
  box.className = 'about';
  box.textContent = text;
  return box;
}

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

export interface EditorOptions {
  parent: HTMLElement;
  source: string;
  locked: boolean;
  label: string;
  link: KernelLink;
  onChange: (source: string) => void;
}

/** An editor for one cell. */
export function makeEditor({
  parent,
  source,
  locked,
  label,
  link,
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
              override: [kernelCompletion(link)],
              icons: false,
              maxRenderedOptions: 60,
            }),
            Prec.high(keymap.of(completionKeymap)),
            keymap.of([...closeBracketsKeymap, ...defaultKeymap, ...historyKeymap]),
            EditorView.updateListener.of((update) => {
              if (!update.docChanged) return;
              onChange(update.state.doc.toString());
              // The mark was put on a text that stands there no more.
              if (diagnosticCount(update.state) > 0)
                queueMicrotask(() => markFault(update.view, undefined));
            }),
          ],
    ],
  });
  return new EditorView({ state, parent });
}

/** Mark the place of an error, or take the mark away. */
export function markFault(view: EditorView, fault: ErrorPlace | undefined): void {
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
