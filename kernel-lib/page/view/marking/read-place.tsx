import { useCallback, useEffect, useState } from 'preact/hooks';
import type { ReadingTold } from '../../../marking/readings';
import { ask } from './ask';
import { Differences } from './differences';
import { idOf, type Pile, PileOfAnswers, piles } from './pile-of-answers';

interface PlaceProps {
  folder: string;
  /** Something was read: the marks are others by now. */
  onRead: () => void;
}

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
  const [told, setTold] = useState<ReadingTold>();
  const [fault, setFault] = useState('');
  const [chosen, setChosen] = useState('');
  const [pile, setPile] = useState<Pile>('unread');

  const load = useCallback(
    () =>
      ask.reading(folder, by).then(setTold, (error: Error) => {
        setFault(error.message);
      }),
    [folder, by],
  );
  useEffect(() => {
    setTold(undefined);
    void load();
  }, [load]);

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
