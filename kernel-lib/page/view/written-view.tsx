import { useEffect, useRef, useState } from 'preact/hooks';
import { markOf } from '../../notebook/marks';
import type { TextCell } from '../../notebook/notebook';
import { sourceOf } from '../../notebook/text';
import { useStore } from '../net/store';
import type { DeskList, Session } from '../sheet/session';
import { TextView } from './text-view';

function blankOf(list: DeskList | undefined, question: string | undefined): string {
  const questions = list?.sheets.flatMap((sheet) => sheet.questions) ?? [];
  return questions.find(({ id, kind }) => kind === 'written' && id === question)?.blank ?? '';
}

/** Ruled lines to write on. When left, the text is set with its formulas; a click or Enter opens it again. */
export function WrittenView({ cell, session }: { cell: TextCell; session: Session }) {
  const source = sourceOf(cell);
  const list = useStore(session.list);
  const question = markOf(cell)?.question;
  const blank = blankOf(list, question).trim();
  const empty = source.trim() === '' || source.trim() === blank;
  const [opened, setEditing] = useState(false);
  const editing = opened || empty;
  const area = useRef<HTMLTextAreaElement>(null);
  const focusNext = useRef(false);
  const label = question ? `Your answer to question ${question}` : 'Your own text';

  useEffect(() => {
    if (editing && focusNext.current) area.current?.focus();
    focusNext.current = false;
  }, [editing]);
  useEffect(() => {
    const box = area.current;
    if (!box) return;
    box.style.height = 'auto';
    box.style.height = `${box.scrollHeight}px`;
  }, [editing, source]);

  const open = () => {
    focusNext.current = true;
    setEditing(true);
  };
  if (editing)
    return (
      <div class="written">
        <textarea
          ref={area}
          rows={4}
          aria-label={label}
          placeholder="Write here, in full sentences. Formulas go between dollar signs: $\sin\theta$."
          value={source.trim() === blank ? '' : source}
          onInput={(event) => session.model.edit(cell.id, event.currentTarget.value)}
          onFocus={() => setEditing(true)}
          onBlur={() => setEditing(false)}
        />
      </div>
    );
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the button beside it does the same by keyboard
    // biome-ignore lint/a11y/useKeyWithClickEvents: as above
    <div class="written done" onClick={open}>
      <TextView cell={cell} />
      <button type="button" class="quiet" aria-label={`Edit: ${label}`} onClick={open}>
        Edit
      </button>
    </div>
  );
}
