import { useCallback, useEffect, useState } from 'preact/hooks';
import type { ReadingTold } from '../../../marking/readings';
import { ask } from './ask';
import { Differences } from './differences';
import { idOf, type Pile, PileOfAnswers, piles } from './pile-of-answers';

interface PlaceProps {
  folder: string;
  /** Under which name; '' while none is typed. */
  by: string;
  /** Something was read: the marks are others by now. */
  onRead: () => void;
}

/** Written answers, one question at a time and without names: read, struck off against the mark scheme, read again by another. */
export function ReadPlace({ folder, by, onRead }: PlaceProps) {
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
        <p class="reader" role="status">
          {by === '' ? (
            'Type your name at the top of the page: readings are kept under it.'
          ) : (
            <>
              Read by <b>{by}</b>.
            </>
          )}
        </p>
        <p class="soft">
          Who reads under another name reads for a second time, and sees nothing of the first. Where
          the two come to different marks they are listed, and settled with a reason.
        </p>
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
