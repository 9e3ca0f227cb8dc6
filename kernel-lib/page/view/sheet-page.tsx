import { useEffect, useMemo, useState } from 'preact/hooks';
import { useStore } from '../net/store';
import { partsOf } from '../sheet/parts';
import { questionRows } from '../sheet/question-rows';
import type { Session } from '../sheet/session';
import { HandIn } from './hand-in';
import { Notices } from './notices';
import { PartView } from './part-view';
import { PrintHead } from './print-head';
import { Rail } from './rail';
import { TopBar } from './top-bar';

/** One worksheet. */
export function SheetPage({ session }: { session: Session }) {
  const cells = useStore(session.model.cells);
  const list = useStore(session.list);
  const run = useStore(session.runner.state);
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
        <Rail rows={rows} />
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
    window.removeEventListener('keydown', saveKey);
    window.removeEventListener('pagehide', leaving);
    window.removeEventListener('beforeunload', warn);
    document.removeEventListener('visibilitychange', seen);
  };
}
