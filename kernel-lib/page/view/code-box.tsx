import type { EditorView } from '@codemirror/view';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { KernelLink } from '../net/kernel-link';
import type { ErrorPlace } from '../sheet/outputs';

interface Props {
  source: string;
  locked: boolean;
  /** Shown only when asked for. */
  folded: boolean;
  label: string;
  title: string;
  link: KernelLink;
  fault: ErrorPlace | undefined;
  onChange: (source: string) => void;
}

/** The editor is fetched once the sheet stands; until then the code is plain text in the same place. */
const editing = () => import('../edit/editor');

/** The code of a cell. */
export function CodeBox({ source, locked, folded, label, title, link, fault, onChange }: Props) {
  const place = useRef<HTMLDivElement>(null);
  const [view, setView] = useState<EditorView>();
  const [plain, setPlain] = useState(false);
  const latest = useRef({ source, onChange });
  latest.current = { source, onChange };

  useEffect(() => {
    if (folded) return;
    let made: EditorView | undefined;
    let gone = false;
    const begin = ({ makeEditor }: Awaited<ReturnType<typeof editing>>) => {
      if (gone || !place.current) return;
      const { source } = latest.current;
      const change = (text: string) => latest.current.onChange(text);
      made = makeEditor({ parent: place.current, source, locked, label, link, onChange: change });
      setView(made);
    };
    // Without the editor, when the desk is gone or was built anew, a plain field serves as well.
    editing().then(begin, () => setPlain(true));
    return () => {
      gone = true;
      made?.destroy();
      setView(undefined);
    };
  }, [link, locked, folded, label]);

  useEffect(() => {
    if (view) void editing().then(({ markFault }) => markFault(view, fault));
  }, [view, fault?.line, fault?.column, fault?.message]);

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
        {!view && (!plain || locked) && <pre class="still">{source}</pre>}
        {!view && plain && !locked && (
          <textarea
            class="still"
            aria-label={label}
            spellcheck={false}
            rows={source.split('\n').length + 1}
            value={source}
            onInput={(event) => onChange(event.currentTarget.value)}
          />
        )}
      </div>
    </div>
  );
}
