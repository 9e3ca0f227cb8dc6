import { useEffect, useMemo, useState } from 'preact/hooks';
import {
  classWhole,
  type QuestionWhole,
  type Share,
  type SheetWhole,
  shares,
  type WholeTold,
} from '../../../marking/class-whole';
import type { LookedThrough } from '../../../marking/looked-through';
import { Alike } from './alike';
import { ask } from './ask';
import { type Ask, FacilityPlot, MarksPlot, Ratios, students, two } from './class-plots';
import { Discuss } from './discuss';
import { type GridFilter, noFilter } from './grid-filter';

interface PlaceProps {
  looked: LookedThrough;
  names: ReadonlyMap<string, string>;
  /** Show these answers in the table. */
  onAsk: (filter: GridFilter) => void;
}

/** The class as a whole: how questions and sheets did, who fell into what, who wrote alike, and what to speak about. */
export function ClassPlace({ looked, names, onAsk }: PlaceProps) {
  const { grid, folder } = looked;
  const all = useMemo(() => classWhole(grid).filter(({ marks }) => marks.length > 0), [grid]);
  const [chosen, setChosen] = useState(all[0]?.sheet ?? '');
  const [told, setTold] = useState<WholeTold>();
  const [fault, setFault] = useState('');
  useEffect(() => {
    ask.whole(folder).then(setTold, (error: Error) => setFault(error.message));
  }, [folder, looked.markedAt]);
  const sheet = all.find((one) => one.sheet === chosen) ?? all[0];
  if (!sheet) return <p class="paper class-whole">Nothing has come back yet.</p>;
  const toTable: Ask = (students, said, question = '') =>
    onAsk({
      ...noFilter,
      sheet: sheet.sheet,
      question: question && `${sheet.sheet} ${question}`,
      among: { said, students },
    });
  return (
    <div class="class-whole">
      {fault && (
        <p class="notice" role="alert">
          {fault}
        </p>
      )}
      <Sheets all={all} chosen={sheet.sheet} onChoose={setChosen} />
      <section class="paper">
        <h2>{sheet.title}</h2>
        <p class="soft">
          Each bar and each dot leads to its answers in the table.
          {sheet.waits > 0 &&
            ` ${sheet.waits} ${sheet.waits === 1 ? 'answer waits' : 'answers wait'} for a reader; marks are without them.`}
        </p>
        <div class="plots">
          <MarksPlot sheet={sheet} onAsk={toTable} />
          <FacilityPlot
            sheet={sheet}
            onAsk={(question) =>
              onAsk({
                ...noFilter,
                sheet: sheet.sheet,
                question: `${sheet.sheet} ${question}`,
              })
            }
          />
        </div>
        <Questions sheet={sheet} hints={told?.hints ?? {}} onAsk={toTable} />
        <Ratios key={sheet.sheet} folder={folder} sheet={sheet} onAsk={toTable} />
      </section>
      {told && <Discuss all={all} told={told} />}
      {told && <Alike folder={folder} told={told} all={all} names={names} />}
      <section class="paper">
        <h2>How the figures are made</h2>
        <p class="soft">
          Facility: mean mark over the mark that could be earned, 0 to 1; near 1 is easy.
          Discrimination of a question: the item–rest correlation, Pearson’s r =
          Σ(x−x̄)(y−ȳ)/√(Σ(x−x̄)² Σ(y−ȳ)²), of its marks x with the marks y for all other questions of
          the sheet that are judged for everybody; of a sheet: the same with the marks for all other
          sheets. Near 0, those who do well elsewhere do no better here. Spread: standard deviation
          with n − 1; quartiles by linear interpolation between ranks. All of it is common practice
          in the analysis of tests, no source. Answers that wait for a reader are left out; marks
          are those before any deduction for days late. Small classes make all of it uncertain.
        </p>
      </section>
    </div>
  );
}

const one = (value: number) => String(Math.round(10 * value) / 10);

interface SheetsProps {
  all: readonly SheetWhole[];
  chosen: string;
  onChoose: (sheet: string) => void;
}

function Sheets({ all, chosen, onChoose }: SheetsProps) {
  return (
    <section class="paper">
      <h2>Sheets</h2>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: where it is too wide it scrolls, and the keyboard must reach it */}
      <section class="wide-table" tabIndex={0} aria-label="Sheets">
        <table>
          <thead>
            <tr>
              <th scope="col">sheet</th>
              <th scope="col">returns</th>
              <th scope="col">mean of</th>
              <th scope="col">facility</th>
              <th scope="col">lowest, quartiles, highest</th>
              <th scope="col">standard deviation</th>
              <th scope="col">discrimination</th>
            </tr>
          </thead>
          <tbody>
            {all.map(({ sheet, title, outOf, marks, waits, spread, facility, discrimination }) => (
              <tr key={sheet}>
                <th scope="row">
                  <button
                    type="button"
                    class="quiet"
                    aria-pressed={sheet === chosen}
                    onClick={() => onChoose(sheet)}
                  >
                    {title}
                  </button>
                  {sheet === chosen && <span class="soft"> below</span>}
                </th>
                <td>{marks.length}</td>
                <td>{spread && `${one(spread.mean)}${waits > 0 ? ' + …' : ''} of ${outOf}`}</td>
                <td>{two(facility)}</td>
                <td>
                  {spread &&
                    [
                      spread.lowest,
                      spread.quarter,
                      spread.median,
                      spread.threeQuarters,
                      spread.highest,
                    ]
                      .map(one)
                      .join(' · ')}
                </td>
                <td>{spread && one(spread.deviation)}</td>
                <td>{two(discrimination)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </section>
  );
}

const shareWords: Readonly<Record<Share, string>> = {
  all: 'all marks',
  some: 'some',
  none: 'no marks',
  waits: 'waits',
};

interface QuestionsProps {
  sheet: SheetWhole;
  hints: WholeTold['hints'];
  onAsk: Ask;
}

function Questions({ sheet, hints, onAsk }: QuestionsProps) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: where it is too wide it scrolls, and the keyboard must reach it
    <section class="wide-table" tabIndex={0} aria-label="Questions">
      <table class="of-questions">
        <thead>
          <tr>
            <th scope="col">question</th>
            <th scope="col">facility</th>
            <th scope="col">discrimination</th>
            <th scope="col">answers</th>
            <th scope="col">slips, and what else went wrong</th>
          </tr>
        </thead>
        <tbody>
          {sheet.questions.map((asked) => (
            <tr key={asked.question}>
              <th scope="row">
                {asked.question} {asked.asks}
              </th>
              <td>{two(asked.facility)}</td>
              <td>{two(asked.discrimination)}</td>
              <td>
                <ShareBar asked={asked} onAsk={onAsk} />
              </td>
              <td>
                {asked.slips.map(({ slip, students: own }) => (
                  <button
                    key={slip}
                    type="button"
                    class="quiet"
                    title={hints[`${sheet.sheet} ${asked.question} ${slip}`]}
                    onClick={() =>
                      onAsk(own, `slip “${slip}” in ${asked.question}`, asked.question)
                    }
                  >
                    {slip}: {own.length}
                  </button>
                ))}
                {asked.faults.length > 0 && (
                  <button
                    type="button"
                    class="quiet"
                    onClick={() =>
                      onAsk(asked.faults, `cell of ${asked.question} failed`, asked.question)
                    }
                  >
                    its cell failed: {asked.faults.length}
                  </button>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function ShareBar({ asked, onAsk }: { asked: QuestionWhole; onAsk: Ask }) {
  return (
    <div class="share">
      {shares.map((share) => {
        const own = asked.by[share];
        return own.length === 0 ? null : (
          <button
            key={share}
            type="button"
            data-share={share}
            style={`flex-grow:${own.length}`}
            title={`${shareWords[share]}: ${own.length}`}
            aria-label={`${asked.question}, ${shareWords[share]}: ${students(own.length)}`}
            onClick={() => onAsk(own, `${shareWords[share]} for ${asked.question}`, asked.question)}
          >
            {own.length}
          </button>
        );
      })}
    </div>
  );
}
