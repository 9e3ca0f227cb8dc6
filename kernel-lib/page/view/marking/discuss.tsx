import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import {
  asOfClass,
  type QuestionWhole,
  type SheetWhole,
  toDiscuss,
  type WholeTold,
} from '../../../marking/class-whole';
import { SafeHtml, useMarkdown } from '../text-view';

/** A question to speak about: what was asked and how it went, without anybody's name. */
interface Discussed {
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
function Projected({ all, onClose }: { all: readonly Discussed[]; onClose: () => void }) {
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

/** What is worth a word in class, and the page that is projected there. */
export function Discuss({ all, told }: { all: readonly SheetWhole[]; told: WholeTold }) {
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
  const [isShown, setShown] = useState(false);
  const found = useMemo(
    () =>
      all.flatMap((sheet) => {
        const hint = (question: string, slip: string) =>
          told.hints[`${sheet.sheet} ${question} ${slip}`] ?? '';
        return toDiscuss([asOfClass(sheet, hint)]).map((one): Discussed & { why: string } => {
          const asked = sheet.questions.find(({ question }) => question === one.question)!;
          return {
            ...{ sheet: sheet.title, id: `${one.sheet} ${one.question}`, why: one.why },
            ...{ question: one.question, asks: one.asks },
            text: told.texts[`${one.sheet} ${one.question}`] ?? '',
            by: asked.by,
            slips: asked.slips.map(({ slip, students: own }) => ({
              ...{ slip, count: own.length },
              // What one of them answered is nobody else's business.
              hint: hint(one.question, slip).replace(/^.*? was read\. /, ''),
            })),
          };
        });
      }),
    [all, told],
  );
  const kept = found.filter(({ id }) => !left.has(id));
  return (
    <section class="paper">
      <h2>Worth a word in class</h2>
      {found.length === 0 ? (
        <p>Nothing stands out.</p>
      ) : (
        <>
          <ul class="discuss">
            {found.map(({ id, question, asks, sheet, why }) => (
              <li key={id}>
                <label>
                  <input
                    type="checkbox"
                    checked={!left.has(id)}
                    onChange={() => {
                      const next = new Set(left);
                      if (!next.delete(id)) next.add(id);
                      setLeft(next);
                    }}
                  />{' '}
                  {question} {asks} <span class="soft">· {sheet}</span>
                </label>
                <p class="soft">{why}</p>
              </li>
            ))}
          </ul>
          <p class="row">
            <button
              type="button"
              class="main"
              disabled={kept.length === 0}
              onClick={() => setShown(true)}
            >
              Project {kept.length === 1 ? 'this one' : `these ${kept.length}`}
            </button>
            <span class="soft">Numbers and shares only, no names.</span>
          </p>
        </>
      )}
      {isShown && <Projected all={kept} onClose={() => setShown(false)} />}
    </section>
  );
}
