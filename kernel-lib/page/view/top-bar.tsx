import type { RefObject } from 'preact';
import { useLayoutEffect, useRef } from 'preact/hooks';
import { hrefOf } from '../address';
import type { KernelState } from '../net/host';
import type { SaveState } from '../sheet/saver';
import type { Session } from '../sheet/session';
import { useStore, useValue } from '../store';
import { Act } from './act';
import { DownloadFact } from './carrying';
import { CodeCardInBar } from './code-card';
import { KeyRow } from './key-row';

interface Props {
  session: Session;
  title: string;
  student: string | undefined;
  onHandIn: () => void;
}

const clock = new Intl.DateTimeFormat(undefined, {
  hour: '2-digit',
  minute: '2-digit',
  hourCycle: 'h23',
});

function savedWords(state: SaveState): string {
  switch (state.kind) {
    case 'saved':
      return state.at ? `saved ${clock.format(state.at)}` : 'saved';
    case 'saving':
      return 'saving …';
    case 'unsaved':
      return 'not saved yet';
    case 'waiting':
      return 'not saved, trying again';
    case 'conflict':
      return 'not saved: two versions';
  }
}

const kernelWords: Record<KernelState['kind'], string> = {
  starting: 'kernel starting …',
  ready: 'ready',
  busy: 'computing …',
  restarting: 'kernel restarting …',
  away: 'kernel out of reach',
  ended: 'kernel ended',
};

/** What is open, how it stands, and what acts on the whole sheet. */
export function TopBar({ session, title, student, onHandIn }: Props) {
  const saved = useStore(session.saver.state);
  const kernel = useStore(session.kernel.state);
  const { running, waiting, moving } = useStore(session.runner.state);
  const bar = useRef<HTMLElement>(null);
  useHeight(bar);
  const stop = () =>
    session.runner.stop().catch(() => {
      session.notice.set('The kernel does not stop. Press Restart: your text is kept.');
    });
  const active = running !== undefined || waiting.length > 0 || moving;
  return (
    <header class="bar" ref={bar}>
      <span class="ways">
        <a href={hrefOf('/')} class="home">
          Worksheets
        </a>
        <a href={hrefOf('/bench')} class="home">
          Bench
        </a>
        <a href={hrefOf('/help')} class="home" target="_blank" rel="noopener">
          Help
        </a>
        <CodeCardInBar />
      </span>
      <span class="open">
        <span class="title">{title}</span>
        <span class="facts">
          {student && <span>student {student}</span>}
          <span data-save={saved.kind}>{savedWords(saved)}</span>
          <span data-kernel={kernel.kind}>{kernelWords[moving ? 'busy' : kernel.kind]}</span>
          <DownloadFact session={session} />
        </span>
      </span>
      <BringAlong session={session} off={active} />
      <KeyRow />
      <span class="acts">
        <Act main onClick={() => session.runner.runAll()}>
          Run from the top
        </Act>
        <Act onClick={stop} off={!active && kernel.kind !== 'busy'}>
          Stop
        </Act>
        <Act
          onClick={() => void session.runner.restart()}
          off={kernel.kind === 'restarting' || kernel.kind === 'away'}
        >
          Restart
        </Act>
        <Act onClick={onHandIn}>Hand in …</Act>
      </span>
    </header>
  );
}

/** Whether what depends on a cell runs after it, and a way to do that once. */
function BringAlong({ session, off }: { session: Session; off: boolean }) {
  const { following } = session.runner;
  const on = useStore(following.on);
  const older = useValue(
    session.runner.state,
    ({ notes }) => [...notes.values()].filter((note) => note.older).length,
  );
  return (
    <span class="along">
      <label>
        <input
          type="checkbox"
          checked={on}
          onChange={(event) => following.choose(event.currentTarget.checked)}
        />
        Bring along what depends on it
      </label>
      {older > 0 && (
        <Act quiet off={off} onClick={() => session.runner.bringAlong()}>
          {older === 1 ? 'Run the older cell' : `Run the ${older} older cells`}
        </Act>
      )}
    </span>
  );
}

/** Tells the style sheets how high the bar is, so that what stays in sight stays below it. */
function useHeight(bar: RefObject<HTMLElement>): void {
  useLayoutEffect(() => {
    if (!bar.current) return;
    const watch = new ResizeObserver(([{ target }]) =>
      document.documentElement.style.setProperty(
        '--bar',
        `${target.getBoundingClientRect().height}px`,
      ),
    );
    watch.observe(bar.current);
    return () => watch.disconnect();
  }, [bar]);
}
