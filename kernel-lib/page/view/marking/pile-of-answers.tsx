import { useEffect, useRef, useState } from 'preact/hooks';
import type {
  AnswerShown,
  AnswerToRead,
  QuestionToRead,
  ReadingTold,
} from '../../../marking/readings';
import { type Entry, earnedBy, type Scheme } from '../../../marking/written-table';
import { Part } from './answer-panel';
import { ask } from './ask';
import { RemarkField } from './remark-field';

export type Pile = 'unread' | 'second' | 'mine' | 'differ';
export const piles: Readonly<Record<Pile, string>> = {
  unread: 'nobody has read',
  second: 'others have read, to be read a second time',
  mine: 'you have read',
  differ: 'readers differ',
};

export const idOf = ({ sheet, question }: { sheet: string; question: string }) =>
  `${sheet} ${question}`;
const nothing: Entry = { ticks: [], points: '', remark: '' };
const clock = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit' });

interface PileProps {
  folder: string;
  by: string;
  question: QuestionToRead;
  pile: Pile;
  remarks: ReadingTold['remarks'];
  onSaved: () => void;
}

/** Written answers of a pile, one at a time: struck off against the mark scheme, with a remark. */
export function PileOfAnswers({ folder, by, question, pile, remarks, onSaved }: PileProps) {
  const [answers, setAnswers] = useState<readonly AnswerToRead[]>();
  const [entries, setEntries] = useState<ReadonlyMap<string, Entry>>(new Map());
  /** The same without waiting for what is drawn: keys may come faster. */
  const latest = useRef(entries);
  const put = (all: Iterable<readonly [string, Entry]>) => {
    latest.current = new Map([...latest.current, ...all]);
    setEntries(latest.current);
  };
  const [at, setAt] = useState(0);
  const [shown, setShown] = useState<AnswerShown>();
  const [fault, setFault] = useState('');
  const [saved, setSaved] = useState('');
  const [used, setUsed] = useState<readonly string[]>([]);
  const { sheet, scheme, outOf } = question;
  const place = { sheet, question: question.question };
  const frame = useRef<HTMLElement>(null);
  const line = useRef<Promise<void>>(Promise.resolve());
  const wantsKeys = useRef(true);

  useEffect(() => {
    let gone = false;
    ask.toRead(folder, place, by).then(
      (all) => {
        if (gone) return;
        const own = all.filter((one) => one.is === pile || (pile === 'unread' && one.note !== ''));
        setAnswers(own);
        put(own.flatMap(({ code, mine }) => (mine ? [[code, mine] as const] : [])));
      },
      (error: Error) => !gone && setFault(error.message),
    );
    return () => {
      gone = true;
    };
  }, []);

  const fetched = useRef(new Map<string, Promise<AnswerShown>>());
  const answerOf = (code: string) => {
    const known = fetched.current.get(code) ?? ask.answerToRead(folder, place, code);
    fetched.current.set(code, known);
    return known;
  };
  const one = answers?.[at];
  const next = answers?.[at + 1];
  useEffect(() => {
    if (!one) return;
    let gone = false;
    answerOf(one.code).then(
      (found) => {
        if (gone) return;
        setShown(found);
        if (next) answerOf(next.code).catch(() => {});
      },
      (error: Error) => {
        fetched.current.delete(one.code);
        if (!gone) setFault(error.message);
      },
    );
    return () => {
      gone = true;
    };
  }, [one?.code]);

  const linesOf = () => [
    ...(frame.current?.querySelectorAll<HTMLElement>('[role="checkbox"]') ?? []),
  ];
  useEffect(() => {
    if (!wantsKeys.current || !shown || shown.code !== one?.code) return;
    wantsKeys.current = false;
    linesOf()[0]?.focus();
  }, [shown, one?.code]);

  if (fault && !answers)
    return (
      <p class="notice" role="alert">
        {fault}
      </p>
    );
  if (!answers) return null;
  if (!one)
    return (
      <section class="paper" aria-label="The answer">
        <p role="status">
          {answers.length === 0
            ? `There is no answer to ${question.question} that ${piles[pile]}.`
            : `That was the last of ${answers.length}.`}
        </p>
        {answers.length > 0 && (
          <p class="row">
            <button type="button" onClick={() => setAt(answers.length - 1)}>
              Back to the last one
            </button>
            <Undo onUndo={undo} />
          </p>
        )}
      </section>
    );

  const { code } = one;
  const entry = entries.get(code) ?? nothing;
  const marks = earnedBy(entry, scheme);

  /** In the order in which things were done; what failed is told and stays on the page. */
  function save(part: Partial<Entry>): void {
    const old = latest.current.get(code) ?? nothing;
    const entered = { ...old, ...part };
    if (JSON.stringify(entered) === JSON.stringify(old)) return;
    put([[code, entered]]);
    line.current = line.current.then(() =>
      ask.read(folder, { ...place, code, by, entered }).then(
        () => {
          setFault('');
          setSaved(`saved ${clock.format(new Date())}`);
          if (entered.remark !== '') setUsed((old) => [entered.remark, ...old]);
          onSaved();
        },
        (error: Error) => setFault(`${error.message} This was not saved: strike it again.`),
      ),
    );
  }

  async function undo(): Promise<void> {
    await line.current;
    try {
      const back = await ask.takeBackReading(folder, by);
      const now = await ask.toRead(folder, back, by);
      const index = answers!.findIndex((other) => other.code === back.code);
      const entered = now.find((other) => other.code === back.code)?.mine ?? nothing;
      put([[back.code, entered]]);
      setFault('');
      setSaved(index < 0 ? `taken back, in ${back.question} of another pile` : 'taken back');
      if (index >= 0) go(index);
      onSaved();
    } catch (error) {
      setFault((error as Error).message);
    }
  }

  function go(to: number): void {
    wantsKeys.current = true;
    const place = Math.max(0, Math.min(answers!.length, to));
    setAt(place);
    if (answers![place]?.code === code) linesOf()[0]?.focus();
  }

  const full = (ticks: readonly string[]) => scheme.map((_, i) => ticks[i] || '0');
  const strike = (i: number) => {
    const ticks = full(latest.current.get(code)?.ticks ?? []);
    const { marks: all, half } = scheme[i];
    const part = String(all / 2);
    ticks[i] = ticks[i] === '0' ? 'x' : ticks[i] === 'x' && half ? part : '0';
    save({ ticks, points: '' });
  };
  const done = () => {
    const now = latest.current.get(code) ?? nothing;
    if (earnedBy(now, scheme) === undefined) save({ ticks: full([]), points: '' });
    go(at + 1);
  };

  const onKeyDown = (event: KeyboardEvent) => {
    const target = event.target as HTMLElement;
    const isTyping = target.matches('input');
    const lines = linesOf();
    const here = lines.indexOf(target);
    const act = (): boolean => {
      if ((event.ctrlKey || event.metaKey) && event.key === 'z' && !isTyping) void undo();
      else if (isTyping || event.ctrlKey || event.metaKey || event.altKey) return false;
      else if (event.key === 'ArrowDown') lines[Math.min(lines.length - 1, here + 1)]?.focus();
      else if (event.key === 'ArrowUp') lines[Math.max(0, here - 1)]?.focus();
      else if (event.key === 'ArrowRight') go(at + 1);
      else if (event.key === 'ArrowLeft') go(at - 1);
      else if (event.key === 'Enter' && (here >= 0 || target === frame.current)) done();
      else if (event.key === 'r')
        frame.current?.querySelector<HTMLElement>('.remark input')?.focus();
      else return false;
      return true;
    };
    if (act()) event.preventDefault();
  };

  const before = [...used, ...remarks.filter(idIs(place)).map(({ remark }) => remark)];
  const elsewhere = remarks.filter((other) => !idIs(place)(other)).map(({ remark }) => remark);
  return (
    <section
      class="paper to-read"
      aria-label="The answer"
      ref={frame}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: the keys of this place are heard from here, too
      tabIndex={0}
      onKeyDown={onKeyDown}
    >
      <h2>
        {question.question} {question.asks}
      </h2>
      <p class="count" role="status">
        Answer {at + 1} of {answers.length}
        {one.note && `: ${one.note}`}
      </p>
      <div class="answer-read">
        {shown?.code === code &&
          shown.parts.map((part, i) => <Part key={`${code} ${i}`} part={part} />)}
      </div>
      <ul class="strike">
        {scheme.map((one, i) => (
          <SchemeLine
            key={one.point}
            line={one}
            tick={entry.ticks[i] ?? ''}
            onStrike={() => strike(i)}
          />
        ))}
      </ul>
      <p class="earned" aria-live="polite">
        {marks === undefined ? `– of ${outOf}` : `${marks} of ${outOf}`}
        {entry.points !== '' && ', given as a whole'}
      </p>
      <RemarkField
        key={`remark ${code}`}
        text={entry.remark}
        offered={[...new Set([...before, ...elsewhere])]}
        onSay={(remark) => save({ remark })}
        onLeave={() => linesOf()[0]?.focus()}
      />
      <WholeMarks
        key={`whole ${code} ${entry.points}`}
        points={entry.points}
        outOf={outOf}
        onGive={(points) => save({ points, ticks: [] })}
      />
      {fault && (
        <p class="notice" role="alert">
          {fault}
        </p>
      )}
      <p class="row">
        <button type="button" class="main" onClick={done}>
          {marks === undefined ? 'None of it met, next' : 'Next'}
        </button>
        <button type="button" disabled={at === 0} onClick={() => go(at - 1)}>
          Back
        </button>
        <Undo onUndo={undo} />
        <span class="soft" role="status">
          {saved}
        </span>
      </p>
      <p class="legend">
        Up and down lead through the mark scheme, Space strikes a line, Enter leads to the next
        answer, left and right pass answers by, r leads to the remark, Ctrl+Z takes back.
      </p>
    </section>
  );
}

const idIs =
  (place: { sheet: string; question: string }) => (other: { sheet: string; question: string }) =>
    idOf(other) === idOf(place);

const Undo = ({ onUndo }: { onUndo: () => void }) => (
  <button type="button" class="quiet" onClick={() => void onUndo()}>
    Take back what I did last
  </button>
);

function SchemeLine({
  line,
  tick,
  onStrike,
}: {
  line: Scheme[number];
  tick: string;
  onStrike: () => void;
}) {
  const earned = earnedBy({ ticks: [tick], points: '' }, [line]) ?? 0;
  const is = earned === 0 ? 'not' : earned === line.marks ? 'met' : 'half';
  const said = {
    not: 'not met',
    met: 'met',
    half: earned === line.marks / 2 ? 'half met' : 'partly met',
  }[is];
  return (
    <li>
      {/* biome-ignore lint/a11y/useSemanticElements: an input has no third state that a click leads to */}
      <button
        type="button"
        role="checkbox"
        aria-checked={is === 'half' ? 'mixed' : is === 'met'}
        data-met={is}
        onClick={onStrike}
      >
        <span class="point">{line.point}</span>
        <span class="said">
          {tick === '' ? '' : said}{' '}
          <b>
            {earned} of {line.marks}
          </b>
          {line.half && ', or half'}
        </span>
      </button>
    </li>
  );
}

interface WholeProps {
  points: string;
  outOf: number;
  onGive: (points: string) => void;
}

/** Marks for the whole answer, where the mark scheme does not fit it. */
function WholeMarks({ points, outOf, onGive }: WholeProps) {
  const [typed, setTyped] = useState(points);
  const [fault, setFault] = useState('');
  return (
    <details class="whole" open={points !== ''}>
      <summary>Marks as a whole</summary>
      <form
        class="row"
        onSubmit={(event) => {
          event.preventDefault();
          const value = Number(typed.trim().replace(',', '.'));
          if (typed.trim() === '' || !(value >= 0 && value <= outOf))
            return setFault(`A number from 0 to ${outOf} is expected.`);
          setFault('');
          onGive(String(value));
        }}
      >
        <label>
          marks of {outOf}, in the place of the lines{' '}
          <input
            class="marks"
            inputMode="decimal"
            autoComplete="off"
            value={typed}
            aria-invalid={fault !== ''}
            onInput={(event) => setTyped(event.currentTarget.value)}
          />
        </label>
        <button type="submit">Give these</button>
        <span class="fault" role="alert">
          {fault}
        </span>
      </form>
    </details>
  );
}
