import { useEffect, useRef, useState } from 'preact/hooks';
import { goingAlong } from '../../travels/files-beside';
import type { Download } from '../../travels/sheet-list';
import { isGoingOn } from '../address';
import type { Carrying, Keeping, Renewal } from '../net/host';
import { packed } from '../sheet/hand-in';
import type { Session } from '../sheet/session';
import { Store, useStore } from '../store';
import { Act } from './act';
import { saveAs } from './save-as';

const nothingAlong = { files: [], says: [] };

const sameDay = new Intl.DateTimeFormat(undefined, {
  hour: '2-digit',
  minute: '2-digit',
  hourCycle: 'h23',
});
const otherDay = new Intl.DateTimeFormat(undefined, { day: 'numeric', month: 'long' });

/** `14:02` of today, `5 November` of another day. */
function since(at: number): string {
  const isToday = new Date(at).toDateString() === new Date().toDateString();
  return (isToday ? sameDay : otherDay).format(at);
}

/** How a copy stands to the last file made of it, in words; '' where nothing is written yet. */
export function downloadWords(download: Download | undefined): string {
  if (!download || download.kind === 'blank') return '';
  if (download.kind === 'whole')
    return `${download.brought ? 'brought in' : 'downloaded'} ${since(download.at)}`;
  return download.at === undefined
    ? 'not downloaded yet'
    : `not downloaded since ${since(download.at)}`;
}

/** Have the browser ask before it leaves these pages, as long as something is in no file. */
export function useReminder(isBehind: boolean): void {
  useEffect(() => {
    if (!isBehind) return;
    const remind = (event: BeforeUnloadEvent) => {
      if (!isGoingOn()) event.preventDefault();
    };
    window.addEventListener('beforeunload', remind);
    return () => window.removeEventListener('beforeunload', remind);
  }, [isBehind]);
}

/** Of a sheet that the browser keeps: whether it was downloaded as it stands, and the way to do so now. */
export function DownloadFact({ session }: { session: Session }) {
  const { carrying } = session.host.files;
  const saved = useStore(session.saver.state);
  const made = useStore(session.made);
  const [download, setDownload] = useState<Download>();
  useEffect(() => {
    if (!carrying) return;
    let gone = false;
    carrying.download(session.path, session.model.snapshot()).then(
      (found) => gone || setDownload(found),
      () => {
        // Where nothing can be read, nothing is known of files either; the button is there all the same.
      },
    );
    return () => {
      gone = true;
    };
  }, [carrying, session, saved, made]);
  useReminder(download?.kind === 'behind');
  if (!carrying) return null;
  // As it stands on the screen, saved or not: where saving fails this is the way out.
  const make = async () => {
    const notebook = session.model.snapshot();
    // Where nothing can be read any more, the notebook is what counts.
    const files = await goingAlong(notebook, session.host.files.beside).catch(() => nothingAlong);
    saveAs(await packed(notebook, session.path, files));
    void carrying.made(session.path, notebook).then(() => session.made.set(session.made.value + 1));
  };
  return (
    <span data-download={download?.kind}>
      {downloadWords(download)}{' '}
      <Act quiet onClick={make}>
        Download
      </Act>
    </span>
  );
}

const cleared =
  'Whoever clears the data of this site in the browser deletes them all: files that you downloaded stay.';
const keepingWords: Record<Keeping, string> = {
  promised: `Your copies are kept by this browser, on this device and nowhere else: nothing is sent. The browser has promised to keep them until somebody clears them. ${cleared}`,
  'not promised': `Your copies are kept by this browser, on this device and nowhere else: nothing is sent. The browser has not promised to keep them: where room runs short, or nobody comes for some weeks, it may clear them by itself, so download now and then. ${cleared}`,
  nowhere:
    'This browser keeps nothing for this page (a private window does not, nor a browser that is told to keep no data). What you write is in this tab alone and gone when it closes: download your sheets before you close it, and bring them back in next time. Nothing is sent.',
};

const isFramed = window.top !== window;

/** How well the browser keeps what it has, and the way out of a frame for which it keeps nothing. */
function KeepingWords({ keeping }: { keeping: Keeping }) {
  if (keeping !== 'nowhere' || !isFramed) return <>{keepingWords[keeping]}</>;
  return (
    <>
      {keepingWords.nowhere} This page stands within another, for which browsers keep less:{' '}
      <a href={location.href} target="_blank" rel="noopener">
        open it in a tab of its own
      </a>
      .
    </>
  );
}

interface Props {
  carrying: Carrying;
  renewal: Renewal | undefined;
  /** Sheets of which something is in no file. */
  behind: number;
  /** Whether there is anything to download. */
  isBegun: boolean;
  onChange: () => void;
}

/** Ways out of the browser and back in, and how well it keeps what it has. */
export function CarryingBox({ carrying, renewal, behind, isBegun, onChange }: Props) {
  const chooser = useRef<HTMLInputElement>(null);
  const [keeping, setKeeping] = useState<Keeping>();
  const [said, setSaid] = useState<readonly string[]>([]);
  const isKept = useStore(renewal?.isKept ?? notKept);
  useEffect(() => void carrying.keeping().then(setKeeping), [carrying, behind]);
  const download = async () => {
    saveAs(await carrying.everything());
    onChange();
  };
  const bring = async () => {
    const files = [...(chooser.current?.files ?? [])];
    if (files.length === 0) return;
    setSaid(await carrying.bringIn(files).catch((error: Error) => [error.message]));
    // The same file may be chosen again.
    if (chooser.current) chooser.current.value = '';
    onChange();
  };
  const sheets = behind === 1 ? 'one sheet' : `${behind} sheets`;
  return (
    <section class="carrying" aria-labelledby="carrying-title">
      <h2 id="carrying-title">Your files</h2>
      {keeping && (
        <p class={keeping === 'nowhere' ? 'notice' : undefined}>
          <KeepingWords keeping={keeping} />
          {isKept &&
            ' These pages themselves are kept, too: they open without a connection. So do figures to be zoomed, once you have zoomed one with it.'}
        </p>
      )}
      {behind > 0 && <p class="behind">Of {sheets} something is in no file yet.</p>}
      <div class="row">
        <Act onClick={download} off={!isBegun}>
          Download all in one zip
        </Act>
        <Act onClick={() => chooser.current?.click()}>Bring files back in …</Act>
        <input
          ref={chooser}
          type="file"
          multiple
          hidden
          accept=".ipynb,.zip,application/zip,application/x-ipynb+json"
          aria-label="Notebooks or zips to bring in"
          onChange={bring}
        />
      </div>
      <p>
        A file that you bring in takes the place of its sheet; what stood there is kept beside it.
        The zip is laid out as the folder of the program for Node is: unpack it there, or zip that
        folder and bring it in here.
      </p>
      <div class="brought" role="status">
        {said.length > 0 && (
          <ul>
            {said.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
        )}
      </div>
    </section>
  );
}

/** Says wherever one works that nothing outlives this tab. */
export function NothingKept({ carrying }: { carrying: Carrying }) {
  const [keeping, setKeeping] = useState<Keeping>();
  useEffect(() => void carrying.keeping().then(setKeeping), [carrying]);
  if (keeping !== 'nowhere') return null;
  return (
    <p class="notice above" role="status">
      <KeepingWords keeping={keeping} />
    </p>
  );
}

const notKept = new Store(false);

/** Says that a newer version of the pages waits; what is open goes on as it is. */
export function NewerVersion({ renewal }: { renewal: Renewal }) {
  const isWaiting = useStore(renewal.isWaiting);
  const [isLater, setLater] = useState(false);
  if (!isWaiting || isLater) return null;
  return (
    <p class="notice above" role="status">
      A newer version of these worksheets has arrived. What is open goes on with the one it has; the
      newer one comes once all its tabs are closed, or now: then this page is loaded anew, your
      texts stay, and values are computed again when you run them.{' '}
      <button type="button" class="quiet" onClick={() => renewal.change()}>
        Change now
      </button>{' '}
      <button type="button" class="quiet" onClick={() => setLater(true)}>
        Later
      </button>
    </p>
  );
}
