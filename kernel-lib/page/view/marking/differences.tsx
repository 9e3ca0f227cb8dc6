import { useCallback, useEffect, useState } from 'preact/hooks';
import type { AnswerShown, Difference, QuestionToRead } from '../../../marking/readings';
import { type Entry, earnedBy } from '../../../marking/written-table';
import { Part } from './answer-panel';
import { ask } from './ask';

interface DifferencesProps {
  folder: string;
  by: string;
  question: QuestionToRead;
  onSaved: () => void;
}

/** Where readers came to different marks: both beside each other, and what shall count. */
export function Differences({ folder, by, question, onSaved }: DifferencesProps) {
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
