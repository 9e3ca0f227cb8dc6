import { closeCompletion } from '@codemirror/autocomplete';
import { defaultKeymap, history, historyKeymap } from '@codemirror/commands';
import { javascript } from '@codemirror/lang-javascript';
import {
  bracketMatching,
  HighlightStyle,
  indentOnInput,
  syntaxHighlighting,
} from '@codemirror/language';
import { type Diagnostic, diagnosticCount, setDiagnostics } from '@codemirror/lint';
import { EditorState } from '@codemirror/state';
import { drawSelection, EditorView, keymap, lineNumbers, tooltips } from '@codemirror/view';
import { tags } from '@lezer/highlight';
import type { KernelLine } from '../net/host';
import type { ErrorPlace } from '../sheet/outputs';
import { aboutNames } from './about';
import { kernelCompletion } from './kernel-completion';

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

/** What a list or a description never covers: errors, verdicts and answer lines. */
const keptClear = '.error, .verdict, .code-cell.answer > .entry';

/** The part of the window around the caret in which nothing stands that is to be kept clear, between the bar and the end. */
function roomFor(view: EditorView): { top: number; bottom: number; left: number; right: number } {
  const { clientWidth: right, clientHeight } = document.documentElement;
  const own = view.dom.getBoundingClientRect();
  const bar = document.querySelector('.bar')?.getBoundingClientRect().bottom ?? 0;
  let top = Math.max(0, bar);
  let bottom = clientHeight;
  for (const one of document.querySelectorAll(keptClear)) {
    if (one.contains(view.dom)) continue;
    const box = one.getBoundingClientRect();
    if (box.bottom <= own.top) top = Math.max(top, box.bottom);
    else if (box.top >= own.bottom) bottom = Math.min(bottom, box.top);
  }
  return { top, bottom, left: 0, right };
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
            kernelCompletion(kernel),
            aboutNames(kernel),
            tooltips({ tooltipSpace: roomFor }),
            keymap.of([...defaultKeymap, ...historyKeymap]),
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

/** Lay what was typed in a plain field before into an editor that was made of what stood there first. */
export function takeOver(view: EditorView, text: string, field: HTMLTextAreaElement | null): void {
  const before = view.state.doc.toString();
  if (text !== before)
    view.dispatch({
      changes: { from: 0, to: before.length, insert: text },
      userEvent: 'input.type',
    });
  if (!field || field !== document.activeElement) return;
  const { selectionStart, selectionEnd, selectionDirection } = field;
  const [anchor, head] =
    selectionDirection === 'backward'
      ? [selectionEnd, selectionStart]
      : [selectionStart, selectionEnd];
  view.dispatch({ selection: { anchor, head } });
}

/** Underline the place of an error, or take the line away. */
export function underline(view: EditorView, fault: ErrorPlace | undefined): void {
  const { doc } = view.state;
  const diagnostics: Diagnostic[] = [];
  if (fault && fault.line <= doc.lines) {
    const line = doc.line(Math.max(1, fault.line));
    const from = Math.min(line.from + Math.max(0, fault.column - 1), line.to);
    const word = view.state.wordAt(from);
    const to = word && word.to > from ? word.to : Math.min(from + 1, line.to);
    diagnostics.push({ from, to: Math.max(from, to), severity: 'error', message: fault.message });
  }
  view.dispatch(setDiagnostics(view.state, diagnostics));
}

/** Close what was opened over the text: the cell runs. */
export function closeLists(view: EditorView): void {
  closeCompletion(view);
}

/** Put another text in the place of all; Ctrl or ⌘ + Z takes that back. False where no editor stands in the box. */
export function replaceAll(box: HTMLElement, text: string): boolean {
  const dom = box.querySelector<HTMLElement>('.cm-editor');
  const view = dom && EditorView.findFromDOM(dom);
  if (!view) return false;
  const changes = { from: 0, to: view.state.doc.length, insert: text };
  // An event of its own: taken back by itself, not with what was typed just before.
  view.dispatch({ changes, userEvent: 'input.replace' });
  view.focus();
  return true;
}
