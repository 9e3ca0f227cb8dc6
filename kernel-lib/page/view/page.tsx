import { useEffect, useState } from 'preact/hooks';
import { address, hrefOf } from '../address';
import { type Host, isFault } from '../net/host';
import { openSession, type Session } from '../sheet/session';
import { useStore } from '../store';
import { beginAnew, FrontPage } from './front-page';
import { Later } from './later';
import { SheetPage } from './sheet-page';

const bench = () => import('../bench/bench-page').then(({ BenchPage }) => BenchPage);
const help = () => import('./help-page').then(({ HelpPage }) => HelpPage);

/** `/` is the front page, `/sheet/NAME.ipynb` a sheet, `/bench` the live bench, `/help` the help. */
export function Page({ host }: { host: Host }) {
  const at = useStore(address);
  if (at === '/bench') return <Later load={bench} props={{}} />;
  if (at === '/help') return <Later load={help} props={{ files: host.files }} />;
  const match = /^\/sheet\/(.+)$/.exec(at);
  return match ? (
    <Opening host={host} path={decodeURIComponent(match[1])} />
  ) : (
    <FrontPage files={host.files} />
  );
}

function Opening({ host, path }: { host: Host; path: string }) {
  const [session, setSession] = useState<Session>();
  const [fault, setFault] = useState<Error>();
  useEffect(() => {
    let retry: ReturnType<typeof setTimeout>;
    const open = () =>
      openSession(host, path).then(setSession, (error: Error) => {
        setFault(error);
        if (isFault(error, 'away')) retry = setTimeout(open, 1000);
      });
    void open();
    return () => clearTimeout(retry);
  }, [host, path]);
  if (session) return <SheetPage session={session} />;
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
