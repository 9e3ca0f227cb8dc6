// The first script of the page, for any browser: it says in a sentence what the browser lacks, or which part of the site
// did not arrive, where the page itself cannot. It is spoken in words that browsers have understood for ten years.

/** Said by the page once it stands; from then on it speaks for itself. */
declare global {
  interface Window {
    multislitStands?: boolean;
    /** Said by the guard where the page is not to start. */
    multislitRefused?: boolean;
  }
}

const safe = 'What you have written before is kept.';
const newer = `Bring it up to date, or use another; any browser of the last three years will do. ${safe}`;

/** What the page cannot do without: whether it is there, and what it is. */
const needed: readonly (readonly [boolean, string])[] = [
  ['noModule' in document.createElement('script'), 'scripts in modules'],
  [typeof Worker === 'function', 'workers'],
  [typeof MessageChannel === 'function', 'message channels'],
  [typeof BroadcastChannel === 'function', 'words between tabs'],
  [typeof structuredClone === 'function', 'copies of values'],
  ['findLast' in Array.prototype, 'the language of 2023'],
  [typeof HTMLDialogElement === 'function', 'dialogs'],
  [typeof IntersectionObserver === 'function' && typeof ResizeObserver === 'function', 'observers'],
];

/** @param address of what the reader is to open instead */
function say(sentence: string, address?: string): void {
  const put = () => {
    const place = document.getElementById('app');
    if (!place?.parentNode) return;
    const said = document.createElement('p');
    said.className = 'notice';
    said.setAttribute('role', 'alert');
    said.textContent = sentence;
    if (address) {
      const link = document.createElement('a');
      link.href = address;
      link.target = '_blank';
      link.rel = 'noopener';
      link.textContent = address;
      said.appendChild(link);
    }
    place.parentNode.insertBefore(said, place);
  };
  if (document.getElementById('app')) put();
  else document.addEventListener('DOMContentLoaded', put);
}

/** Which parts of the site do not answer as they should. */
async function missing(): Promise<string[]> {
  const names = document.querySelector<HTMLMetaElement>('meta[name="parts"]');
  const paths: string[] = Object.values(JSON.parse(names?.content || '{}'));
  const looked = await Promise.all(
    paths.map((path) =>
      fetch(path, { method: 'HEAD' }).then(
        ({ ok, status }) => (ok ? '' : `${path} (${status})`),
        () => path,
      ),
    ),
  );
  return looked.filter((each) => each !== '');
}

function partIsGone(): void {
  void missing().then((gone) =>
    say(
      gone.length === 0
        ? `The worksheets did not arrive whole. Load the page again. ${safe}`
        : navigator.onLine
          ? `A part of this site is not there: ${gone.slice(0, 3).join(', ')}${gone.length > 3 ? ` and ${gone.length - 3} more` : ''}. It was not uploaded whole: tell whoever gave you this address. ${safe}`
          : `There is no connection, and this site was not kept on this device yet. ${safe}`,
    ),
  );
}

const lacks = needed.filter(([isThere]) => !isThere).map(([, what]) => what);
if (lacks.length > 0) {
  window.multislitRefused = true;
  say(`This browser is too old for the worksheets: it has no ${lacks.join(', no ')}. ${newer}`);
} else if (self.origin === 'null' && /^https?:$/.test(location.protocol)) {
  // A frame that is shut off is of no origin: its own scripts are foreign to it, and nothing is kept for it.
  window.multislitRefused = true;
  say(
    'The page around this one shuts it off, so that the worksheets cannot work here. Open them in a tab of their own, or put this address into a new one: ',
    location.href,
  );
} else
  addEventListener(
    'error',
    (event) => {
      const { target } = event;
      // Without its icons the page works as well.
      if (target instanceof HTMLLinkElement) {
        if (target.rel === 'stylesheet') partIsGone();
      } else if (window.multislitStands) return;
      else if (target instanceof HTMLScriptElement) partIsGone();
      else
        say(
          `The worksheets could not start in this browser (${(event as ErrorEvent).message}). ${newer}`,
        );
    },
    true,
  );

export {};
