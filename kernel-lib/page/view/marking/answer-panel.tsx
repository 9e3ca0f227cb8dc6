import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { ClassGrid, GridCell } from '../../../marking/class-grid';
import type { ShownAnswer, ShownOutput, WorkPart } from '../../../marking/shown-answer';
import { plainText } from '../../text/printed-text';
import { SafeHtml, useMarkdown } from '../text-view';
import { ask, type Place, type ToSet } from './ask';

/** Somebody else's answer with the same slip. */
export interface SameSlip {
  readonly student: string;
  readonly cell: GridCell;
}

export interface PanelProps {
  folder: string;
  grid: ClassGrid;
  place: Place;
  /** The student's name, where the roster has one. */
  name: string;
  cell: GridCell | null;
  /** When it came back, in words. */
  came: string;
  same: readonly SameSlip[];
  /** Put the keyboard into the field for marks when it opens. */
  byKey: number;
  onSet: (what: Omit<ToSet, 'by'>) => Promise<void>;
  onLook: (student: string) => void;
  onClose: () => void;
}

const seenIn = (cell: GridCell) => (cell.state === 'to be read' ? null : cell.marks);

/** One answer: what was done, what came out, what was expected, and the way to change its mark. */
export function AnswerPanel(props: PanelProps) {
  const { folder, grid, place, name, cell, came, same, onClose } = props;
  const column = grid.columns.find(
    ({ sheet, question }) => sheet === place.sheet && question === place.question,
  );
  const [answer, setAnswer] = useState<ShownAnswer>();
  const [fault, setFault] = useState('');
  const id = `${place.student} ${place.sheet} ${place.question}`;
  useEffect(() => {
    let gone = false;
    setFault('');
    if (!cell) {
      setAnswer(undefined);
      return;
    }
    // Whoever holds an arrow key down passes by many.
    const soon = setTimeout(() => {
      ask.answer(folder, place).then(
        (found) => !gone && setAnswer(found),
        (error: Error) => !gone && setFault(error.message),
      );
    }, 60);
    return () => {
      gone = true;
      clearTimeout(soon);
    };
  }, [folder, id, cell]);
  const isHere =
    answer && `${answer.student} ${answer.sheet} ${answer.mark.question}` === id && cell !== null;
  return (
    <aside
      class="answer paper"
      aria-label="The answer"
      onKeyDown={(event) => {
        if (event.key !== 'Escape') return;
        event.stopPropagation();
        onClose();
      }}
    >
      <button type="button" class="quiet close" onClick={onClose}>
        Back to the table
      </button>
      <h2>
        {place.student}
        {name && ` ${name}`} · {place.question} {column?.asks}
      </h2>
      {fault && (
        <p class="notice" role="alert">
          {fault}
        </p>
      )}
      {cell === null && <p>Nothing of this sheet came back.</p>}
      {isHere && column && (
        <>
          <Facts answer={answer} came={came} />
          <Working work={answer.work} />
          {answer.scheme && <Scheme scheme={answer.scheme} ticks={answer.mark.ticks} />}
          <MarkForm
            key={id}
            {...props}
            cell={cell}
            answer={answer}
            outOf={column.outOf}
            same={same}
          />
        </>
      )}
    </aside>
  );
}

const words = { agrees: 'Agrees.', 'not yet': 'Not yet.', 'to be read': 'To be read.' } as const;

function Facts({ answer, came }: { answer: ShownAnswer; came: string }) {
  const { mark, expected } = answer;
  const { state, message, shown, slip, follows, changed, remark, marks, outOf, isRead } = mark;
  const verdict = follows === undefined ? words[state] : `Follows from ${follows}.`;
  const facts: [string, ComponentChildren][] = [
    ['handed in', came],
    ...(shown === undefined ? [] : [['answered', shown] as [string, string]]),
    ...(expected === undefined ? [] : [['expected', expected] as [string, string]]),
    [
      changed || isRead ? 'said before' : 'verdict',
      <>
        {!(changed || isRead) && <b data-state={state}>{verdict}</b>} {message}
      </>,
    ],
    ...(slip === undefined
      ? []
      : [['slip', <span class="slip">{slip}</span>] as [string, ComponentChildren]]),
    ...(remark === undefined ? [] : [['remark', remark] as [string, string]]),
    ...(changed === undefined
      ? []
      : [
          [
            'by hand',
            `${changed.from === null ? 'given' : `changed from ${changed.from}`}: ${changed.reason}`,
          ] as [string, string],
        ]),
    ['mark', state === 'to be read' ? `– of ${outOf}` : `${marks} of ${outOf}`],
  ];
  return (
    <dl class="facts">
      {facts.map(([term, said]) => (
        <>
          <dt>{term}</dt>
          <dd>{said}</dd>
        </>
      ))}
    </dl>
  );
}

function Working({ work }: { work: readonly WorkPart[] | undefined }) {
  return (
    <section>
      <h3>Working</h3>
      {work === undefined && (
        <p class="soft">The notebook as it ran is not in this folder; mark it again to have it.</p>
      )}
      {work?.length === 0 && <p class="soft">There is no cell for it in what came back.</p>}
      {work?.map((part, index) => (
        <Part key={index} part={part} />
      ))}
    </section>
  );
}

/** What a student did, as it ran. Student text is text, or markup that was made safe: nothing runs and nothing is fetched. */
export function Part({ part: { is, isOwn, source, outputs } }: { part: WorkPart }) {
  const html = useMarkdown(is === 'text' ? source : '');
  return (
    <div class="part">
      {isOwn && <p class="soft">A cell that the student added:</p>}
      {is === 'text' ? (
        <SafeHtml html={html} kind="written" />
      ) : (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: long lines scroll, and the keyboard must reach them
        <pre tabIndex={0}>{source}</pre>
      )}
      {outputs.map((output, index) => (
        <OutputShown key={index} output={output} />
      ))}
    </div>
  );
}

function OutputShown({ output }: { output: ShownOutput }) {
  if (output.is === 'picture')
    return (
      <img
        class="figure"
        src={`data:image/png;base64,${output.png}`}
        alt={output.text || 'A figure'}
      />
    );
  const text = plainText(output.text);
  return <p class={output.is === 'error' ? 'printed fault' : 'printed'}>{text}</p>;
}

interface SchemeProps {
  scheme: NonNullable<ShownAnswer['scheme']>;
  /** What a reader found met. */
  ticks: ShownAnswer['mark']['ticks'];
}

function Scheme({ scheme, ticks }: SchemeProps) {
  return (
    <section>
      <h3>Mark scheme</h3>
      <ul class="scheme">
        {scheme.map(({ marks, point }, i) => (
          <li key={point}>
            {point} <b>({ticks?.[i] ? `${ticks[i].marks} of ${marks}` : marks})</b>
          </li>
        ))}
      </ul>
    </section>
  );
}

type FormProps = PanelProps & { cell: GridCell; answer: ShownAnswer; outOf: number };

function MarkForm({ place, cell, answer, outOf, same, byKey, onSet, onLook }: FormProps) {
  const { changed } = answer.mark;
  const [marks, setMarks] = useState(cell.state === 'to be read' ? '' : `${cell.marks}`);
  const [reason, setReason] = useState(changed?.reason ?? '');
  const [others, setOthers] = useState<ReadonlySet<string>>();
  const [fault, setFault] = useState('');
  const [isBusy, setBusy] = useState(false);
  const field = useRef<HTMLInputElement>(null);
  useEffect(() => {
    if (byKey > 0) field.current?.select();
  }, [byKey]);
  const chosen = others ? same.filter(({ student }) => others.has(student)) : [];
  const own = { ...place, seen: seenIn(cell) };

  async function set(value: number | null, withOthers: boolean): Promise<void> {
    setFault('');
    setBusy(true);
    try {
      const more = withOthers
        ? chosen.map((one) => ({ ...place, student: one.student, seen: seenIn(one.cell) }))
        : [];
      await onSet({ places: [own, ...more], marks: value, reason });
    } catch (error) {
      setFault((error as Error).message);
      setBusy(false);
    }
  }

  const save = (event: Event) => {
    event.preventDefault();
    const value = Number(marks.trim().replace(',', '.'));
    if (marks.trim() === '' || !(value >= 0 && value <= outOf))
      return setFault(`A number from 0 to ${outOf} is expected.`);
    if (reason.trim() === '')
      return setFault('Give a reason: the student and your colleagues will ask for one.');
    void set(value, true);
  };
  const toggle = (student: string) => {
    const next = new Set(others);
    if (!next.delete(student)) next.add(student);
    setOthers(next);
  };
  const forWhom =
    chosen.length === 0 ? `for ${place.student}` : `for ${chosen.length + 1} students`;
  return (
    <form class="set-mark" onSubmit={save} noValidate>
      <h3>Mark</h3>
      <p>
        <label>
          marks of {outOf}{' '}
          <input
            ref={field}
            class="marks"
            inputMode="decimal"
            autoComplete="off"
            value={marks}
            aria-invalid={fault !== ''}
            aria-describedby="mark-fault"
            onInput={(event) => setMarks(event.currentTarget.value)}
          />
        </label>
      </p>
      <p>
        <label>
          reason
          <input
            class="reason"
            autoComplete="off"
            maxLength={2000}
            value={reason}
            onInput={(event) => setReason(event.currentTarget.value)}
          />
        </label>
      </p>
      {others && (
        <fieldset class="same">
          <legend>
            Same slip “{cell.slip}” in {place.question}: {same.length + 1} students
          </legend>
          <ul>
            <li>
              <b>{place.student}</b>, this one: {cell.marks} of {outOf}
            </li>
            {same.map(({ student, cell: theirs }) => (
              <li key={student}>
                <label>
                  <input
                    type="checkbox"
                    checked={others.has(student)}
                    onChange={() => toggle(student)}
                  />{' '}
                  {student}: {theirs.marks} of {outOf}
                  {theirs.from !== undefined && ', changed by a person'}
                </label>{' '}
                <button type="button" class="quiet" onClick={() => onLook(student)}>
                  look<span class="aloud"> at {student}</span>
                </button>
              </li>
            ))}
          </ul>
        </fieldset>
      )}
      <p id="mark-fault" class="fault" role="alert">
        {fault}
      </p>
      <p class="row">
        <button type="submit" class="main" disabled={isBusy}>
          Change {forWhom}
        </button>
        {same.length > 0 && !others && (
          <button
            type="button"
            class="quiet"
            onClick={() => setOthers(new Set(same.map(({ student }) => student)))}
          >
            Same slip: {same.length + 1} students
          </button>
        )}
        {others && (
          <button type="button" class="quiet" onClick={() => setOthers(undefined)}>
            Only {place.student}
          </button>
        )}
        {changed && (
          <button
            type="button"
            class="quiet"
            disabled={isBusy}
            onClick={() => void set(null, false)}
          >
            Give it back to the marker
          </button>
        )}
      </p>
    </form>
  );
}
