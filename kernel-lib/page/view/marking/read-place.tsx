import { useCallback, useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type {
  AnswerShown,
  AnswerToRead,
  Difference,
  QuestionToRead,
  ReadingTold,
} from '../../../marking/readings';
import { type Entry, earnedBy, type Scheme } from '../../../marking/written-table';
import { Part } from './answer-panel';
import { ask } from './ask';

interface PlaceProps {
  folder: string;
  /** Something was read: the marks are others by now. */
  onRead: () => void;
}

type Pile = 'unread' | 'second' | 'mine' | 'differ';
const piles: Readonly<Record<Pile, string>> = {
  unread: 'nobody has read',
  second: 'others have read, to be read a second time',
  mine: 'you have read',
  differ: 'readers differ',
};

const idOf = ({ sheet, question }: { sheet: string; question: string }) => `${sheet} ${question}`;
const readerKept = 'multislit-reader';
const keptReader = () => {
  try {
    return localStorage.getItem(readerKept) ?? '';
  } catch {
    return '';
  }
};

/** Written answers, one question at a time and without names: read, struck off against the mark scheme, read again by another. */
export function ReadPlace({ folder, onRead }: PlaceProps) {
  const [by, setBy] = useState(keptReader);
  /** For whom it was told: what another reader is told may stand here for no moment. */
  const [toldTo, setToldTo] = useState<{ by: string; folder: string; told: ReadingTold }>();
  const told = toldTo?.by === by && toldTo.folder === folder ? toldTo.told : undefined;
  const [fault, setFault] = useState('');
  const [chosen, setChosen] = useState('');
  const [pile, setPile] = useState<Pile>('unread');

  const load = useCallback(
    () =>
      ask.reading(folder, by).then(
        (told) => setToldTo({ by, folder, told }),
        (error: Error) => setFault(error.message),
      ),
    [folder, by],
  );
  useEffect(() => void load(), [load]);

  const question =
    told?.questions.find((one) => idOf(one) === chosen) ??
    told?.questions.find((one) => one.unread > 0) ??
    told?.questions[0];

  return (
    <div class="reading">
      <section class="paper" aria-label="What is read">
        <Reader
          by={by}
          onName={(name) => {
            try {
              localStorage.setItem(readerKept, name);
            } catch {
              // It is typed again the next time.
            }
            setBy(name);
          }}
        />
        {told && told.questions.length > 0 && question && (
          <div class="filters">
            <label>
              <span class="named">question</span>
              <select
                value={idOf(question)}
                onChange={(event) => setChosen(event.currentTarget.value)}
              >
                {told.questions.map((one) => (
                  <option key={idOf(one)} value={idOf(one)}>
                    {one.question} {one.asks} · {one.title}
                  </option>
                ))}
              </select>
            </label>
            <label>
              <span class="named">answers that</span>
              <select value={pile} onChange={(event) => setPile(event.currentTarget.value as Pile)}>
                {Object.entries(piles).map(([id, said]) => (
                  <option key={id} value={id}>
                    {said} ({question[id as Pile]})
                  </option>
                ))}
              </select>
            </label>
          </div>
        )}
        {told?.questions.length === 0 && !told.problem && (
          <p>No sheet of this folder has a question that a person reads.</p>
        )}
        {(told?.problem || fault) && (
          <p class="notice" role="alert">
            {told?.problem ?? fault}
          </p>
        )}
      </section>
      {told && question && by !== '' && pile !== 'differ' && (
        <PileOfAnswers
          key={`${idOf(question)} ${pile} ${by}`}
          {...{ folder, by, question, pile }}
          remarks={told.remarks}
          onSaved={() => {
            onRead();
            void load();
          }}
        />
      )}
      {told && question && by !== '' && pile === 'differ' && (
        <Differences
          key={`${idOf(question)} ${by}`}
          {...{ folder, by, question }}
          onSaved={() => {
            onRead();
            void load();
          }}
        />
      )}
    </div>
  );
}

function Reader({ by, onName }: { by: string; onName: (name: string) => void }) {
  const [typed, setTyped] = useState(by);
  const [isOpen, setOpen] = useState(by === '');
  if (!isOpen)
    return (
      <p class="reader">
        Read by <b>{by}</b>.{' '}
        <button type="button" class="quiet" onClick={() => setOpen(true)}>
          Somebody else reads
        </button>
      </p>
    );
  return (
    <form
      class="say"
      onSubmit={(event) => {
        event.preventDefault();
        const name = typed.replace(/\s+/g, ' ').trim();
        if (name === '') return;
        setOpen(false);
        onName(name);
      }}
    >
      <label>
        <span class="named">your name, as readings are kept under it</span>
        <input
          value={typed}
          maxLength={80}
          autoComplete="off"
          onInput={(event) => setTyped(event.currentTarget.value)}
        />
      </label>
      <button type="submit" class="main">
        Read
      </button>
      <p class="soft">
        Who reads under another name reads for a second time, and sees nothing of the first. Where
        the two come to different marks they are listed, and settled with a reason.
      </p>
    </form>
  );
}

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

function PileOfAnswers({ folder, by, question, pile, remarks, onSaved }: PileProps) {
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
      <Remark
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

interface RemarkProps {
  text: string;
  offered: readonly string[];
  onSay: (text: string) => void;
  onLeave: () => void;
}

const mostOffered = 6;

/** A remark to the student. What was said before is offered as one types. */
function Remark({ text, offered, onSay, onLeave }: RemarkProps) {
  const [typed, setTypedShown] = useState(text);
  const [isOpen, setOpen] = useState(false);
  const [at, setAt] = useState(-1);
  /** The same without waiting for what is drawn: the field may be left before. */
  const latest = useRef(text);
  const setTyped = (now: string) => {
    latest.current = now;
    setTypedShown(now);
  };
  useEffect(() => setTyped(text), [text]);
  const found = useMemo(() => {
    const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
    return offered
      .filter((one) => one !== typed && words.every((word) => one.toLowerCase().includes(word)))
      .slice(0, mostOffered);
  }, [typed, offered.join('\n')]);
  const isOffering = isOpen && found.length > 0;
  const take = (remark: string) => {
    setTyped(remark);
    setOpen(false);
    setAt(-1);
    onSay(remark);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (step !== undefined && found.length > 0) {
      setOpen(true);
      setAt((old) => Math.max(-1, Math.min(found.length - 1, old + step)));
    } else if (event.key === 'Enter') {
      take(isOffering && at >= 0 ? found[at] : latest.current.replace(/\s+/g, ' ').trim());
      onLeave();
    } else if (event.key === 'Escape') {
      if (isOffering) setOpen(false);
      else {
        setTyped(text);
        onLeave();
      }
    } else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    <div class="remark">
      <label for="remark">remark to the student</label>
      <input
        id="remark"
        role="combobox"
        aria-expanded={isOffering}
        aria-controls="remarks-before"
        aria-autocomplete="list"
        aria-activedescendant={isOffering && at >= 0 ? `remark-${at}` : undefined}
        autoComplete="off"
        maxLength={2000}
        value={typed}
        onInput={(event) => {
          setTyped(event.currentTarget.value);
          setOpen(true);
          setAt(-1);
        }}
        onKeyDown={onKeyDown}
        onBlur={() => {
          setOpen(false);
          onSay(latest.current.replace(/\s+/g, ' ').trim());
        }}
      />
      <div id="remarks-before" role="listbox" aria-label="Remarks used before" hidden={!isOffering}>
        {isOffering &&
          found.map((remark, i) => (
            // biome-ignore lint/a11y/useKeyWithClickEvents: the keys are heard in the field
            <div
              key={remark}
              id={`remark-${i}`}
              role="option"
              tabIndex={-1}
              aria-selected={i === at}
              onMouseDown={(event) => event.preventDefault()}
              onClick={() => take(remark)}
            >
              {remark}
            </div>
          ))}
      </div>
    </div>
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

interface DifferencesProps {
  folder: string;
  by: string;
  question: QuestionToRead;
  onSaved: () => void;
}

/** Where readers came to different marks: both beside each other, and what shall count. */
function Differences({ folder, by, question, onSaved }: DifferencesProps) {
  const [all, setAll] = useState<readonly Difference[]>();
  const [fault, setFault] = useState('');
  const place = { sheet: question.sheet, question: question.question };
  const load = useCallback(
    () => ask.differences(folder, place).then(setAll, (error: Error) => setFault(error.message)),
    [folder],
  );
  useEffect(() => void load(), [load]);
  const open = all?.filter(({ settled }) => !settled) ?? [];
  const settled = all?.filter((one) => one.settled) ?? [];
  if (fault)
    return (
      <p class="notice" role="alert">
        {fault}
      </p>
    );
  if (!all) return null;
  return (
    <>
      <p class="count" role="status">
        {open.length === 0
          ? `Nobody differs about ${question.question}.`
          : `Readers differ about ${open.length} ${open.length === 1 ? 'answer' : 'answers'} to ${question.question}.`}
        {settled.length > 0 && ` ${settled.length} settled.`}
      </p>
      {[...open, ...settled].map((one) => (
        <OneDifference
          key={one.code}
          {...{ folder, question, difference: one }}
          onSettle={async (entered, reason) => {
            await ask.settle(folder, { ...place, code: one.code, by, entered, settles: reason });
            await load();
            onSaved();
          }}
        />
      ))}
    </>
  );
}

interface OneProps {
  folder: string;
  question: QuestionToRead;
  difference: Difference;
  onSettle: (entered: Entry, reason: string) => Promise<void>;
}

function OneDifference({ folder, question, difference, onSettle }: OneProps) {
  const { code, readings, counts, settled } = difference;
  const [shown, setShown] = useState<AnswerShown>();
  const [choice, setChoice] = useState('');
  const [marks, setMarks] = useState('');
  const [reason, setReason] = useState('');
  const [fault, setFault] = useState('');
  const [isBusy, setBusy] = useState(false);
  useEffect(() => {
    ask
      .answerToRead(folder, question, code)
      .then(setShown, (error: Error) => setFault(error.message));
  }, [code]);
  const settle = async (event: Event) => {
    event.preventDefault();
    const value = Number(marks.trim().replace(',', '.'));
    const reading = readings.find((one) => one.by === choice);
    if (choice === '') return setFault('Choose whose marks shall count, or give others.');
    if (!reading && (marks.trim() === '' || !(value >= 0 && value <= question.outOf)))
      return setFault(`A number from 0 to ${question.outOf} is expected.`);
    if (reason.trim() === '') return setFault('Give a reason: the other reader will ask for one.');
    const remark = readings.map(({ entered }) => entered.remark).find((one) => one !== '') ?? '';
    setBusy(true);
    try {
      await onSettle(reading?.entered ?? { ticks: [], points: String(value), remark }, reason);
    } catch (error) {
      setFault((error as Error).message);
    }
    setBusy(false);
  };
  const name = (by: string) => by || 'entered in the table';
  return (
    <section class="paper difference" aria-label={`Answer ${code}`}>
      <div class="answer-read">
        {shown?.parts.map((part, i) => (
          <Part key={i} part={part} />
        ))}
      </div>
      <div class="beside">
        <table>
          <thead>
            <tr>
              <th scope="col">mark scheme</th>
              {readings.map(({ by }) => (
                <th key={by} scope="col">
                  {name(by)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {question.scheme.map((line, i) => {
              const each = readings.map(({ entered }) =>
                entered.points !== ''
                  ? '–'
                  : String(earnedBy({ ticks: [entered.ticks[i] ?? ''], points: '' }, [line]) ?? 0),
              );
              const isOther = new Set(each).size > 1;
              return (
                <tr key={line.point} data-other={isOther}>
                  <th scope="row">
                    {line.point}
                    {isOther && <b class="other"> differs</b>}
                  </th>
                  {each.map((earned, n) => (
                    <td key={n}>
                      {earned} of {line.marks}
                    </td>
                  ))}
                </tr>
              );
            })}
            <tr>
              <th scope="row">marks of {question.outOf}</th>
              {readings.map((one) => (
                <td key={one.by}>
                  <b>{one.marks}</b>
                </td>
              ))}
            </tr>
            <tr>
              <th scope="row">remark</th>
              {readings.map((one) => (
                <td key={one.by}>{one.entered.remark || '–'}</td>
              ))}
            </tr>
          </tbody>
        </table>
      </div>
      {settled ? (
        <p>
          Settled by {name(settled.by)}: {counts} of {question.outOf}. {settled.reason}
        </p>
      ) : (
        <form onSubmit={settle} noValidate>
          <fieldset class="same">
            <legend>What counts (now {counts ?? '–'})</legend>
            {readings.map((one) => (
              <label key={one.by}>
                <input
                  type="radio"
                  name={`counts ${code}`}
                  checked={choice === one.by}
                  onChange={() => setChoice(one.by)}
                />{' '}
                {one.marks}, as {name(one.by)} says
              </label>
            ))}
            <label>
              <input
                type="radio"
                name={`counts ${code}`}
                checked={choice === other}
                onChange={() => setChoice(other)}
              />{' '}
              others:
            </label>{' '}
            <input
              class="marks"
              aria-label={`other marks of ${question.outOf}`}
              inputMode="decimal"
              autoComplete="off"
              value={marks}
              onInput={(event) => {
                setMarks(event.currentTarget.value);
                setChoice(other);
              }}
            />
          </fieldset>
          <p>
            <label>
              reason
              <input
                class="reason wide"
                autoComplete="off"
                maxLength={2000}
                value={reason}
                onInput={(event) => setReason(event.currentTarget.value)}
              />
            </label>
          </p>
          <p class="fault" role="alert">
            {fault}
          </p>
          <button type="submit" class="main" disabled={isBusy}>
            Settle it
          </button>
        </form>
      )}
    </section>
  );
}

/** No reader's name: names have no line ends. */
const other = '\n';
