import { useEffect, useState } from 'preact/hooks';
import type { ListedSheet } from '../../travels/sheet-list';
import { address, hrefOf } from '../address';
import { type Host, isFault } from '../net/host';
import { openSession, rememberFresh, type Session } from '../sheet/session';
import { useStore } from '../store';
import { NewerVersion, NothingKept } from './carrying';
import { beginAnew, FrontPage, StudentForm } from './front-page';
import { Later } from './later';
import { SheetPage } from './sheet-page';

const bench = () => import('../bench/bench-page').then(({ BenchPage }) => BenchPage);
const help = () => import('./help-page').then(({ HelpPage }) => HelpPage);

/** `/` is the front page, `/sheet/NAME.ipynb` a sheet, `/bench` the live bench, `/help` the help. */
export function Page({ host }: { host: Host }) {
  const at = useStore(address);
  return (
    <>
      {host.renewal && <NewerVersion renewal={host.renewal} />}
      {host.files.carrying && at !== '/' && <NothingKept carrying={host.files.carrying} />}
      <Place host={host} at={at} />
    </>
  );
}

function Place({ host, at }: { host: Host; at: string }) {
  if (at === '/bench') return <Later load={bench} props={{ room: host.room }} />;
  if (at === '/help') return <Later load={help} props={{ files: host.files }} />;
  const match = /^\/sheet\/(.+)$/.exec(at);
  if (!match) return <FrontPage host={host} />;
  const path = decodeURIComponent(match[1]);
  return <Opening key={path} host={host} path={path} />;
}

/** The sheet of which this is the student's copy, when it was not begun yet. */
async function notBegun({ files }: Host, path: string) {
  const { sheets, student } = await files.list();
  const sheet = sheets.find((one) => one.path === path && !one.opened && !one.problem);
  return sheet && { sheet, student };
}

/** Make the student's copy, as Begin on the front page does. */
async function begin({ files }: Host, sheet: ListedSheet): Promise<void> {
  const { path, fresh } = await files.open(sheet.name);
  if (fresh) rememberFresh(path, fresh);
}

function Opening({ host, path }: { host: Host; path: string }) {
  const [session, setSession] = useState<Session>();
  const [fault, setFault] = useState<Error>();
  /** Of this sheet no copy was made yet, and nobody has said whose it is to be. */
  const [asking, setAsking] = useState<ListedSheet>();
  useEffect(() => {
    let retry: ReturnType<typeof setTimeout>;
    let opened: Session | undefined;
    let gone = false;
    const show = (made: Session) => {
      opened = made;
      if (gone) made.close();
      else setSession(made);
    };
    const open = async (): Promise<void> => {
      try {
        show(await openSession(host, path));
      } catch (error) {
        const missed =
          isFault(error, 'missing') && (await notBegun(host, path).catch(() => undefined));
        if (missed && missed.student === null) return setAsking(missed.sheet);
        if (missed)
          return begin(host, missed.sheet)
            .then(() => openSession(host, path))
            .then(show, setFault);
        setFault(error as Error);
        if (isFault(error, 'away')) retry = setTimeout(open, 1000);
      }
    };
    if (!asking) void open();
    return () => {
      gone = true;
      clearTimeout(retry);
      opened?.close();
    };
  }, [host, path, asking]);
  if (session) return <SheetPage session={session} />;
  if (asking)
    return (
      <main class="plain">
        <div class="paper front">
          <h1>{asking.title}</h1>
          <StudentForm files={host.files} student={null} onSaved={() => setAsking(undefined)} />
          <p class="where">
            <a href={hrefOf('/')}>All worksheets</a>
          </p>
        </div>
      </main>
    );
  return (
    <main class="plain">
      {fault && (
        <div class="paper" role="alert">
          <h1>This sheet cannot be shown</h1>
          <p>{fault.message}</p>
          {!isFault(fault, 'missing') && <p>The file was left as it is.</p>}
          {isFault(fault, 'damaged') && <p>{beginAnew}</p>}
          <p>
            <a href={hrefOf('/')}>Back to all worksheets</a>
          </p>
        </div>
      )}
    </main>
  );
}
