import { useEffect, useRef, useState } from 'preact/hooks';
import type { QuestionWhole } from '../../../marking/class-whole';
import { SafeHtml, useMarkdown } from '../text-view';

/** A question to speak about: what was asked and how it went, without anybody's name. */
export interface Discussed {
  readonly id: string;
  /** Its title. */
  readonly sheet: string;
  readonly question: string;
  readonly asks: string;
  /** Markdown. */
  readonly text: string;
  readonly by: QuestionWhole['by'];
  readonly slips: readonly {
    readonly slip: string;
    readonly count: number;
    readonly hint: string;
  }[];
}

const mostSlips = 4;

/** One question a page, for a projector: first what was asked, and how it went when that is wanted. */
export function Projected({ all, onClose }: { all: readonly Discussed[]; onClose: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  const [at, setAt] = useState(0);
  const [isTold, setTold] = useState(false);
  const one = all[at];
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  const go = (to: number) => {
    setAt(Math.max(0, Math.min(all.length - 1, to)));
    setTold(false);
    dialog.current?.scrollTo(0, 0);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.key === 'ArrowRight' || event.key === 'PageDown') {
      if (isTold || event.key === 'PageDown') go(at + 1);
      else setTold(true);
    } else if (event.key === 'ArrowLeft' || event.key === 'PageUp') go(at - 1);
    else return;
    event.preventDefault();
  };
  return (
    <dialog
      ref={dialog}
      class="projected"
      aria-labelledby="projected-head"
      onClose={onClose}
      onKeyDown={onKeyDown}
    >
      <p class="of-sheet">
        {one.sheet} · {at + 1} of {all.length}
      </p>
      <h2 id="projected-head">
        {one.question} {one.asks}
      </h2>
      <Asked key={one.id} text={one.text} />
      {isTold && <HowItWent one={one} />}
      <p class="row">
        {!isTold && (
          <button type="button" class="main" onClick={() => setTold(true)}>
            How it went
          </button>
        )}
        <button type="button" disabled={at === 0} onClick={() => go(at - 1)}>
          Back
        </button>
        <button type="button" disabled={at === all.length - 1} onClick={() => go(at + 1)}>
          Next
        </button>
        <button type="button" onClick={() => dialog.current?.close()}>
          End
        </button>
      </p>
    </dialog>
  );
}

/** What the sheet asks. Its headings are the page's already. */
function Asked({ text }: { text: string }) {
  const html = useMarkdown(text.replace(/^#+ .*$/gm, ''));
  return <SafeHtml html={html} kind="asked" />;
}

function HowItWent({ one: { by, slips } }: { one: Discussed }) {
  const judged = by.all.length + by.some.length + by.none.length;
  const rows: [said: string, count: number, hint: string][] = [
    ['all marks', by.all.length, ''],
    ...(by.some.length > 0
      ? [['some of the marks', by.some.length, ''] as [string, number, string]]
      : []),
    ...slips
      .slice(0, mostSlips)
      .map(({ slip, count, hint }): [string, number, string] => [`“${slip}”`, count, hint]),
  ];
  return (
    <section class="went" aria-label="How it went">
      <ul>
        {rows.map(([said, count, hint]) => (
          <li key={said}>
            <b>{said}</b>
            <span class="share-of" style={`--share:${judged === 0 ? 0 : count / judged}`} />
            <span>
              {count} of {judged}
            </span>
            {hint !== '' && <p>{hint}</p>}
          </li>
        ))}
      </ul>
    </section>
  );
}
