import { useEffect, useMemo, useRef, useState } from 'preact/hooks';

interface FieldProps {
  text: string;
  offered: readonly string[];
  onSay: (text: string) => void;
  onLeave: () => void;
}

const mostOffered = 6;

/** A remark to the student. What was said before is offered as one types. */
export function RemarkField({ text, offered, onSay, onLeave }: FieldProps) {
  const [typed, setTypedShown] = useState(text);
  const [isOpen, setOpen] = useState(false);
  const [at, setAt] = useState(-1);
  /** The same without waiting for what is drawn: the field may be left before. */
  const latest = useRef(text);
  const setTyped = (now: string) => {
    latest.current = now;
    setTypedShown(now);
  };
  useEffect(() => setTyped(text), [text]);
  const found = useMemo(() => {
    const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
    return offered
      .filter((one) => one !== typed && words.every((word) => one.toLowerCase().includes(word)))
      .slice(0, mostOffered);
  }, [typed, offered.join('\n')]);
  const isOffering = isOpen && found.length > 0;
  const take = (remark: string) => {
    setTyped(remark);
    setOpen(false);
    setAt(-1);
    onSay(remark);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (step !== undefined && found.length > 0) {
      setOpen(true);
      setAt((old) => Math.max(-1, Math.min(found.length - 1, old + step)));
    } else if (event.key === 'Enter') {
      take(isOffering && at >= 0 ? found[at] : latest.current.replace(/\s+/g, ' ').trim());
      onLeave();
    } else if (event.key === 'Escape') {
      if (isOffering) setOpen(false);
      else {
        setTyped(text);
        onLeave();
      }
    } else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    <div class="remark">
      <label for="remark">remark to the student</label>
      <input
        id="remark"
        role="combobox"
        aria-expanded={isOffering}
        aria-controls="remarks-before"
        aria-autocomplete="list"
        aria-activedescendant={isOffering && at >= 0 ? `remark-${at}` : undefined}
        autoComplete="off"
        maxLength={2000}
        value={typed}
        onInput={(event) => {
          setTyped(event.currentTarget.value);
          setOpen(true);
          setAt(-1);
        }}
        onKeyDown={onKeyDown}
        onBlur={() => {
          setOpen(false);
          onSay(latest.current.replace(/\s+/g, ' ').trim());
        }}
      />
      <div id="remarks-before" role="listbox" aria-label="Remarks used before" hidden={!isOffering}>
        {isOffering &&
          found.map((remark, i) => (
            // biome-ignore lint/a11y/useKeyWithClickEvents: the keys are heard in the field
            <div
              key={remark}
              id={`remark-${i}`}
              role="option"
              tabIndex={-1}
              aria-selected={i === at}
              onMouseDown={(event) => event.preventDefault()}
              onClick={() => take(remark)}
            >
              {remark}
            </div>
          ))}
      </div>
    </div>
  );
}
