import type { EditorView } from '@codemirror/view';
import type { RefObject } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { KernelLine } from '../net/host';
import type { ErrorPlace } from '../sheet/outputs';

/** The editor is fetched when it is about to be used; until then a plain field stands in its place. */
export const editing = () => import('../edit/editor');

/** Editors that nobody is near to are made one at a time while the page is at rest. */
const atRest: (() => void)[] = [];
/** A page on which something moves is never at rest: then its turn comes all the same. */
const whenAtRest = (then: () => void) =>
  'requestIdleCallback' in window
    ? requestIdleCallback(then, { timeout: 300 })
    : setTimeout(then, 200);
/** What the sheet shows first goes first, ms. */
const afterStart = 1000;

function makeNext(): void {
  atRest[0]?.();
  if (atRest.length > 0) whenAtRest(makeNext);
}

/** Calls once: where the element is near to what is seen, where the focus comes into it, or at rest in its turn. */
function whenWanted(element: HTMLElement, then: () => void): () => void {
  const call = () => {
    end();
    then();
  };
  const watch = new IntersectionObserver(
    (entries) => entries.some(({ isIntersecting }) => isIntersecting) && call(),
    { rootMargin: '400px' },
  );
  const end = () => {
    watch.disconnect();
    element.removeEventListener('focusin', call);
    if (atRest.includes(call)) atRest.splice(atRest.indexOf(call), 1);
  };
  watch.observe(element);
  element.addEventListener('focusin', call);
  if (atRest.push(call) === 1) setTimeout(() => whenAtRest(makeNext), afterStart);
  return end;
}

/** A finger has brought up a keyboard, which goes with the field that it was brought up for. */
const hasKeyboard = () => matchMedia('(pointer: coarse)').matches;

interface CodeBoxProps {
  source: string;
  locked: boolean;
  /** Shown only when asked for. */
  folded: boolean;
  label: string;
  title: string;
  kernel: KernelLine;
  fault: ErrorPlace | undefined;
  /** Running, or about to. */
  runs: boolean;
  onChange: (source: string) => void;
}

/** The code of a cell. */
export function CodeBox(props: CodeBoxProps) {
  const { source, locked, folded, title, fault, runs, label, onChange } = props;
  const place = useRef<HTMLDivElement>(null);
  const area = useRef<HTMLTextAreaElement>(null);
  const view = useEditor(place, area, props);

  useEffect(() => {
    if (view) void editing().then(({ underline }) => underline(view, fault));
  }, [view, fault?.line, fault?.column, fault?.message]);

  useEffect(() => {
    if (view && runs) void editing().then(({ closeLists }) => closeLists(view));
  }, [view, runs]);

  if (folded)
    return (
      <details class="code locked">
        <summary class="caption">{title}: the code behind it</summary>
        <pre class="still">{source}</pre>
      </details>
    );
  return (
    <div class={locked ? 'code locked' : 'code'}>
      <span class="caption" aria-hidden="true">
        {title}
      </span>
      <div ref={place}>
        {!view && locked && <pre class="still">{source}</pre>}
        {!view && !locked && (
          <div class="plain-code">
            {/* Gives the field its height, and paper its text. */}
            <pre class="still" aria-hidden="true">
              {`${source}\n`}
            </pre>
            <textarea
              ref={area}
              class="still"
              rows={1}
              aria-label={label}
              spellcheck={false}
              autocapitalize="off"
              value={source}
              onInput={(event) => onChange(event.currentTarget.value)}
            />
          </div>
        )}
      </div>
    </div>
  );
}

/**
 * The editor of a cell, once it is wanted and has come. What was typed, where the caret stood and whether it stood here
 * go from the plain field over to it; where the editor does not come the field serves as well.
 */
function useEditor(
  place: RefObject<HTMLDivElement>,
  area: RefObject<HTMLTextAreaElement>,
  { source, locked, folded, label, kernel, onChange }: CodeBoxProps,
): EditorView | undefined {
  const [view, setView] = useState<EditorView>();
  const latest = useRef({ source, onChange });
  latest.current = { source, onChange };

  useEffect(() => {
    const { current: box } = place;
    if (folded || !box) return;
    const before = latest.current.source;
    let made: EditorView | undefined;
    let gone = false;
    // Half a letter stands there, or the mouse is about to set the caret.
    let isInHand = false;
    let editor: Awaited<ReturnType<typeof editing>> | undefined;
    const begin = () => {
      const { current: field } = area;
      const hadFocus = field !== null && field === document.activeElement;
      if (gone || made || !editor || isInHand || (hadFocus && hasKeyboard())) return;
      const change = (text: string) => latest.current.onChange(text);
      made = editor.makeEditor({
        parent: box,
        source: before,
        locked,
        label,
        kernel,
        onChange: change,
      });
      editor.takeOver(made, latest.current.source, field);
      setView(made);
      if (hadFocus) made.focus();
      unhear();
    };
    const hear = ({ type }: Event) => {
      if (type === 'compositionstart' || type === 'pointerdown') isInHand = true;
      else if (type !== 'focusout') isInHand = false;
      // Behind what the browser still does with that event.
      setTimeout(begin);
    };
    const within = ['compositionstart', 'compositionend', 'pointerdown', 'focusout'];
    const anywhere = ['pointerup', 'pointercancel'];
    for (const type of within) box.addEventListener(type, hear);
    for (const type of anywhere) addEventListener(type, hear);
    const unhear = () => {
      for (const type of within) box.removeEventListener(type, hear);
      for (const type of anywhere) removeEventListener(type, hear);
    };
    const end = whenWanted(box, () => {
      editing().then(
        (come) => {
          editor = come;
          setTimeout(begin);
        },
        () => {},
      );
    });
    return () => {
      gone = true;
      end();
      unhear();
      made?.destroy();
      setView(undefined);
    };
  }, [kernel, locked, folded, label]);
  return view;
}
