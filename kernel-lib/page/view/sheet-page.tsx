import { memo } from 'preact/compat';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { type Cell, tagOf } from '../../notebook/notebook';
import { isWalkedTo } from '../address';
import type { Session } from '../sheet/session';
import { type QuestionRow, questionRows } from '../sheet/standing';
import { type Part, partsOf } from '../sheet/working';
import { useStore } from '../store';
import { AddCell } from './added-cells';
import { CodeCellView } from './code-cell-view';
import { HandIn } from './hand-in';
import { Notices } from './notices';
import { MarkBox, Rail } from './rail';
import { TextView } from './text-view';
import { TopBar } from './top-bar';
import { WrittenView } from './written-view';

/** One worksheet. */
export function SheetPage({ session }: { session: Session }) {
  const cells = useStore(session.model.cells);
  const list = useStore(session.list);
  const run = useStore(session.runner.state);
  const handedIn = useStore(session.model.handedIn);
  const [handing, setHanding] = useState(false);
  const generation = useStore(session.model.generation);
  const sheet = list?.sheets.find(({ path }) => path === session.path);
  const rows = useMemo(() => questionRows(cells, sheet?.questions ?? []), [cells, sheet]);
  const parts = useMemo(() => partsOf(cells), [cells]);
  const title = sheet?.title ?? titleIn(session) ?? session.path;

  useEffect(() => {
    document.title = `${title} · Worksheets`;
  }, [title]);
  useEffect(() => keepSafe(session), [session]);
  // What was pressed to come here is gone; the keyboard goes on from the sheet, not from nowhere.
  useEffect(() => {
    if (document.activeElement === document.body && isWalkedTo())
      document.getElementById('sheet')?.focus({ preventScroll: true });
  }, []);

  return (
    <>
      <a class="skip" href="#sheet">
        To the sheet
      </a>
      <TopBar
        session={session}
        title={title}
        student={list?.student ?? undefined}
        onHandIn={() => setHanding(true)}
      />
      <Notices session={session} />
      <div class="desk">
        <Rail rows={rows} handedIn={handedIn} />
        <main id="sheet" class="paper" tabIndex={-1}>
          <PrintHead title={title} student={list?.student ?? undefined} />
          {parts.map((part) => (
            <PartView
              key={`${part.key} ${generation}`}
              part={part}
              row={rows.find(({ id }) => id === part.question)}
              session={session}
            />
          ))}
        </main>
      </div>
      {handing && (
        <HandIn session={session} title={title} rows={rows} onClose={() => setHanding(false)} />
      )}
      <div class="aloud" aria-live="polite">
        {run.said}
      </div>
    </>
  );
}

function titleIn(session: Session): string | undefined {
  const first = session.model.cells.value.find((cell) => cell.cell_type === 'markdown');
  const text = first ? String([first.source].flat().join('')) : '';
  return /^#\s+(.+)$/m.exec(text)?.[1];
}

/** What is typed goes into the tab's storage before the tab can go; saved elsewhere is taken in when it comes back. */
function keepSafe(session: Session): () => void {
  const { saver } = session;
  const leaving = () => {
    saver.draft.keep();
    void saver.save();
  };
  const seen = () => (document.visibilityState === 'hidden' ? leaving() : void saver.refresh());
  const warn = (event: BeforeUnloadEvent) => {
    saver.draft.keep();
    if (saver.dirty && saver.state.value.kind !== 'unsaved' && saver.state.value.kind !== 'saving')
      event.preventDefault();
  };
  const saveKey = (event: KeyboardEvent) => {
    if (event.key !== 's' || !(event.ctrlKey || event.metaKey) || event.altKey) return;
    event.preventDefault();
    void saver.save();
  };
  window.addEventListener('keydown', saveKey);
  window.addEventListener('pagehide', leaving);
  window.addEventListener('beforeunload', warn);
  document.addEventListener('visibilitychange', seen);
  return () => {
    leaving();
    window.removeEventListener('keydown', saveKey);
    window.removeEventListener('pagehide', leaving);
    window.removeEventListener('beforeunload', warn);
    document.removeEventListener('visibilitychange', seen);
  };
}

interface Props {
  part: Part;
  row: QuestionRow | undefined;
  session: Session;
}

/** One question in its frame, or the text between two. */
function PartView({ part, row, session }: Props) {
  const { question } = part;
  const cells = part.cells.map((cell) => (
    <CellView key={cell.id} cell={cell} question={question} session={session} />
  ));
  const add = <AddCell part={part} session={session} />;
  if (question === undefined || !row)
    return (
      <div class="part">
        {cells}
        {add}
      </div>
    );
  const id = `q-${question}`;
  return (
    <section class="part question" id={id} aria-label={`Question ${question}`}>
      <MarkBox row={row} />
      {cells}
      {add}
    </section>
  );
}

interface CellProps {
  cell: Cell;
  question: string | undefined;
  session: Session;
}

const CellView = memo(({ cell, question, session }: CellProps) => {
  if (cell.cell_type === 'code')
    return <CodeCellView cell={cell} question={question} session={session} />;
  if (cell.cell_type === 'raw') return <pre class="raw">{[cell.source].flat().join('')}</pre>;
  const locked = cell.metadata.editable === false;
  if (!locked || tagOf(cell)?.role === 'written')
    return <WrittenView cell={cell} question={question} session={session} />;
  return <TextView cell={cell} />;
});

const quoted = (text: string) =>
  `"${text.replace(/["\\\n\r\f<]/g, (letter) => `\\${letter.charCodeAt(0).toString(16)} `)}"`;

/** On paper every page names the sheet and the student, so that loose pages find back to their author. */
function PrintHead({ title, student }: { title: string; student: string | undefined }) {
  const whose = student ? `Student number ${student}` : 'Student number: ____________';
  useEffect(() => {
    const style = new CSSStyleSheet();
    style.replaceSync(
      `@page { @top-left { content: ${quoted(title)}; } @top-right { content: ${quoted(`${whose} · page `)} counter(page); } }`,
    );
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, style];
    return () => {
      document.adoptedStyleSheets = document.adoptedStyleSheets.filter((each) => each !== style);
    };
  }, [title, whose]);
  return (
    <p class="print-head" aria-hidden="true">
      {whose}
    </p>
  );
}
