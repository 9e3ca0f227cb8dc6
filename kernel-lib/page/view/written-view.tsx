import { useEffect, useRef, useState } from 'preact/hooks';
import { isAdded, sourceOf, type TextCell } from '../../notebook/notebook';
import type { SheetList } from '../../travels/sheet-list';
import type { Session } from '../sheet/session';
import { useStore } from '../store';
import { Act } from './act';
import { RemoveCell } from './added-cells';
import { afterPress } from './focus';
import { TextView } from './text-view';

function blankOf(list: SheetList | undefined, question: string | undefined): string {
  const questions = list?.sheets.flatMap((sheet) => sheet.questions) ?? [];
  return questions.find(({ id, kind }) => kind === 'written' && id === question)?.blank ?? '';
}

interface Props {
  cell: TextCell;
  /** Of the part that it stands in. */
  question: string | undefined;
  session: Session;
}

/** Ruled lines to write on. When left, the text is set with its formulas; a click or Enter opens it again. */
export function WrittenView({ cell, question, session }: Props) {
  const source = sourceOf(cell);
  const list = useStore(session.list);
  const own = isAdded(cell);
  const blank = own ? '' : blankOf(list, question).trim();
  const empty = source.trim() === '' || source.trim() === blank;
  const [opened, setEditing] = useState(false);
  const editing = opened || empty;
  const area = useRef<HTMLTextAreaElement>(null);
  const focusNext = useRef(false);
  const what = own ? 'Your own note' : 'Your answer';
  const label = question ? `${what}${own ? ',' : ' to'} question ${question}` : what;

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
      <div class="written" data-cell={cell.id}>
        <textarea
          ref={area}
          rows={4}
          aria-label={label}
          placeholder="Write here, in full sentences. Formulas go between dollar signs: $\sin\theta$."
          value={source.trim() === blank ? '' : source}
          onInput={(event) => session.model.edit(cell.id, event.currentTarget.value)}
          onFocus={() => setEditing(true)}
          onBlur={() => afterPress(() => setEditing(false))}
        />
        {own && empty && <RemoveCell id={cell.id} label={label} session={session} />}
      </div>
    );
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the button beside it does the same by keyboard
    // biome-ignore lint/a11y/useKeyWithClickEvents: as above
    <div
      class="written done"
      data-cell={cell.id}
      onClick={(event) => (event.target as Element).closest('button') || open()}
    >
      <TextView cell={cell} />
      <div class="acts">
        <Act quiet label={`Edit: ${label}`} onClick={open}>
          Edit
        </Act>
        {own && <RemoveCell id={cell.id} label={label} session={session} />}
      </div>
    </div>
  );
}
