import { useEffect, useState } from 'preact/hooks';
import type { SheetWhole, WholeTold } from '../../../marking/class-whole';
import type { CellPair, SideBySide, SideOfPair } from '../../../marking/side-by-side';
import { ask } from './ask';

interface AlikeProps {
  folder: string;
  told: WholeTold;
  all: readonly SheetWhole[];
  names: ReadonlyMap<string, string>;
}

/** Groups of returns that are alike, and two of them side by side. */
export function Alike({ folder, told, all, names }: AlikeProps) {
  const [open, setOpen] = useState<{ group: number; one: string; other: string }>();
  const titles = new Map(all.map(({ sheet, title }) => [sheet, title]));
  const named = (student: string) => `${student} ${names.get(student) ?? ''}`.trim();
  return (
    <section class="paper">
      <h2>Answers that are alike</h2>
      <p class="soft">
        Groups that share much which hardly anyone else wrote; what the sheet gave does not count.
        People who worked together, or had the same help, show up here too: it proves nothing. Marks
        are not touched.
      </p>
      {told.alike.length === 0 && <p>None.</p>}
      <ul class="groups">
        {told.alike.map((group, i) => (
          <li key={`${group.sheet} ${group.students.join(' ')}`}>
            <p>
              {titles.get(group.sheet) ?? group.sheet}: {group.students.map(named).join(', ')}.{' '}
              <span class="soft">
                {group.passages} {group.passages === 1 ? 'passage' : 'passages'}
                {group.names.length > 0 && `; own names: ${group.names.join(', ')}`}
                {group.numbers.length > 0 && `; digits of odd numbers: ${group.numbers.join(', ')}`}
              </span>{' '}
              <button
                type="button"
                class="quiet"
                aria-expanded={open?.group === i}
                onClick={() =>
                  setOpen(
                    open?.group === i
                      ? undefined
                      : { group: i, one: group.students[0], other: group.students[1] },
                  )
                }
              >
                Side by side
              </button>
            </p>
            {open?.group === i && (
              <>
                <p class="row">
                  {(['one', 'other'] as const).map((side) => (
                    <label key={side}>
                      {side === 'one' ? 'left' : 'right'}{' '}
                      <select
                        value={open[side]}
                        onChange={(event) =>
                          setOpen({ ...open, [side]: event.currentTarget.value })
                        }
                      >
                        {group.students.map((student) => (
                          <option key={student} value={student}>
                            {named(student)}
                          </option>
                        ))}
                      </select>
                    </label>
                  ))}
                </p>
                <Pair
                  key={`${open.one} ${open.other}`}
                  {...{ folder, one: open.one, other: open.other }}
                  sheet={group.sheet}
                />
              </>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

interface PairProps {
  folder: string;
  sheet: string;
  one: string;
  other: string;
}

function Pair({ folder, sheet, one: left, other: right }: PairProps) {
  const [pair, setPair] = useState<SideBySide>();
  const [fault, setFault] = useState('');
  const [isAll, setAll] = useState(false);
  useEffect(() => {
    ask.pair(folder, sheet, left, right).then(setPair, (error: Error) => setFault(error.message));
  }, []);
  if (fault)
    return (
      <p class="notice" role="alert">
        {fault}
      </p>
    );
  if (!pair) return null;
  const isAlike = ({ one: a, other: b }: CellPair) => a.same + b.same > 0;
  const cells = isAll ? pair.cells : pair.cells.filter(isAlike);
  return (
    <div class="pair">
      {cells.map((cell, i) => (
        <section
          key={i}
          aria-label={`${cell.question}${cell.isOwn ? ', a cell of their own' : ''}`}
        >
          <h3>
            {cell.question}
            {cell.isOwn && ', a cell of their own'}
          </h3>
          <Side student={left} side={cell.one} />
          <Side student={right} side={cell.other} />
        </section>
      ))}
      {pair.cells.length > cells.length && (
        <button type="button" class="quiet" onClick={() => setAll(true)}>
          The other {pair.cells.length - cells.length} cells, in which nothing is the same
        </button>
      )}
    </div>
  );
}

function Side({ student, side }: { student: string; side: SideOfPair }) {
  return (
    <div class="side">
      <p class="soft">
        {student}:{' '}
        {side.words === 0
          ? 'nothing here'
          : `${side.same} of ${side.words} words and signs stand in both`}
      </p>
      {side.pieces.length > 0 && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: long lines scroll, and the keyboard must reach them
        <pre tabIndex={0}>
          {side.pieces.map(({ text, isSame }, i) =>
            isSame ? (
              <mark key={i}>
                <span class="aloud">the same: </span>
                {text}
                <span class="aloud"> (end)</span>
              </mark>
            ) : (
              text
            ),
          )}
        </pre>
      )}
    </div>
  );
}
