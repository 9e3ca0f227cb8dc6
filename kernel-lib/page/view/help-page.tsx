import { useEffect, useState } from 'preact/hooks';
import type { SheetList } from '../../travels/sheet-list';
import { hrefOf } from '../address';
import type { FileStore } from '../net/host';
import { CodeCard } from './code-card';
import { inBrowser } from './front-page';

const states = [
  ['agrees', 'agrees', 'Value and unit fit the expected ones. The marks are yours.'],
  [
    'not yet',
    'not yet',
    'Something differs; a hint says where to look. Change your working and check again, as often as you like.',
  ],
  [
    'recorded',
    'recorded',
    'Kept in the sheet and marked later. Nobody is told now whether it is right.',
  ],
  ['written', 'written', 'Your own words stand there; a person reads them.'],
] as const;

const keys = [
  ['Shift + Enter', 'run or check this cell, then go on to the next'],
  ['Ctrl or ⌘ + Enter', 'run or check this cell and stay'],
  ['Tab', 'from cell to button to cell; it leaves the editor too'],
  ['Ctrl or ⌘ + Z', 'take back what was typed'],
  ['Ctrl or ⌘ + S', 'save now; it is also saved by itself'],
  ['F1', 'what the name at the caret does, with an example; Escape closes it'],
  ['F2', 'back to the text of this cell that last ran'],
  ['Enter on a picture', 'shows it large; Escape puts it back'],
  ['Arrow keys on the bench', 'move the slider, or the place on the film'],
  [
    'Arrow keys on telescope or vernier',
    'turn the telescope (with Shift faster), move the magnifier',
  ],
  ['→ ←, Page down and up', 'on the bench for a class: on and back through the steps'],
  ['F, A, D, C', 'there: flip to what was before, what is below, dark room, controls'],
  ['Q', 'there, with a room open: the way in for phones, as large as the screen'],
  ['1 to 7, G, P', 'there: what is shown as well, let the slits grow, save a picture'],
  [
    'Enter on the film',
    'latches the hairline, and the arrow keys move a second one; Enter lets both go',
  ],
] as const;

/** Everything that a student needs to know, on one page. */
export function HelpPage({ files }: { files: FileStore }) {
  const [list, setList] = useState<SheetList>();
  useEffect(() => {
    document.title = 'Help · Worksheets';
    files.list().then(setList, () => {
      // The page is of use without it.
    });
  }, [files]);
  const student = list?.student ?? '204117';
  return (
    <main class="plain">
      <div class="paper help">
        <p class="back">
          <a href={hrefOf('/')}>Worksheets</a> <a href={hrefOf('/bench')}>Bench</a>
        </p>
        <h1>Help</h1>
        <h2>Run and check</h2>
        <p>
          Go from top to bottom. Type into <b>Your working</b> and press Run; what comes out stands
          below. Then press Check beside the <b>Answer</b> line: cells that it needs run first by
          themselves. <b>Run from the top</b> runs all in order, <b>Run from here</b> a cell and all
          below it, <b>Stop</b> ends a calculation that takes too long, <b>Restart</b> begins with a
          clean memory and keeps all that you typed. <b>Add working or a note</b> below a question
          gives you more room; what you removed can be put back.
        </p>
        <h2>What depends on what</h2>
        <p>
          When you change a cell and run it, cells that used its values are marked{' '}
          <b>computed from older values</b>. With <b>Bring along what depends on it</b> (at the top)
          they run again by themselves, in the order of the sheet, and only they; without it, a
          button beside that does it once. A slider under a cell moves one value, by mouse, finger,
          arrow keys or its number, and what depends on it follows. The slider does not change the
          text of the cell, and what you hand in is marked with the number in the text.
        </p>
        <h2>The code you need</h2>
        <CodeCard />
        <p>
          Each line runs as it stands, in this order. In a sheet the card is behind{' '}
          <b>The code you need</b> at the top. Rest the mouse on a name, or put the caret into it
          and press F1, to read what it does, with an example; on a touch screen tap the name twice.
          While you type, a list offers names after two letters and after a point: Enter takes the
          one that is marked, Escape closes the list.
        </p>
        <h2>A photograph of your own</h2>
        <p>
          <b>Add working or a note</b>, then <b>A photograph here</b>: choose or take one, drag the
          band onto the row of spots, set two marks of the ruler under <b>Scale</b>, and click on
          bright or dark places under <b>Mark places</b>. Fingers and arrow keys do all that the
          mouse does; two fingers, or + and −, zoom. The button below writes the lines of code that
          do the same into the cell. Read the first line of the result: it says whether to trust it.
        </p>
        <p class="notice">
          Photograph the screen, never the light: no eye, lens or camera looks into a laser beam,
          its reflection or the sun.
        </p>
        <h2>What the words mean</h2>
        <dl class="states">
          {states.map(([state, word, meaning]) => (
            <div key={state} data-state={state}>
              <dt>{word}</dt>
              <dd>{meaning}</dd>
            </div>
          ))}
        </dl>
        <h2>By keyboard</h2>
        <dl class="keys">
          {keys.map(([key, does]) => (
            <div key={key}>
              <dt>{key}</dt>
              <dd>{does}</dd>
            </div>
          ))}
        </dl>
        <h2>When something fails</h2>
        <ul>
          <li>
            An error says in plain words what was probably meant and shows the line as it could
            stand; the place is marked. What the compiler says stands folded below. Mend it and run
            again; nothing breaks by trying.
          </li>
          <li>
            A remark stands under a cell that runs, but surely does something else than was meant,
            such as ^ for a power.
          </li>
          <li>
            You tried something and it does not work any more: <b>Back to what ran</b>, or F2,
            brings the text back with which the cell last ran. Ctrl or ⌘ + Z takes that back.
          </li>
          <li>“Kernel ended”: what you typed is kept. Press Restart, then Run from the top.</li>
          <li>
            “Not saved, trying again” or “kernel out of reach”: leave the page open. It saves and
            goes on by itself. If the window in which you started the worksheets was closed, start
            them again in the same way as before.
          </li>
          <li>Two versions of a sheet: both are shown, and you choose. The other is put aside.</li>
        </ul>
        <h2>Where your files lie</h2>
        {list?.folder === null ? (
          <p>{inBrowser}</p>
        ) : (
          <p>
            Your copies are ordinary notebook files in{' '}
            <span class="path">{list?.folder ?? 'the folder named on the first page'}</span>, one
            for each sheet. Copy that folder to keep a second version. Pages and calculations stay
            on this computer.
          </p>
        )}
        <h2>Hand in</h2>
        <p>
          Open the sheet, press <b>Hand in …</b>: it lists what is still open, runs the sheet from
          the top as it is marked, says what that changes, and makes the one file to send, such as{' '}
          <span class="path">{student}-02-one-slit.ipynb</span>. Send it as your instructor asked.
          You may go on working and hand in again.
        </p>
        <h2>A room for a class</h2>
        <p>
          On the bench <b>Open a room</b> lets phones in the same network follow what a lecturer
          shows and say what they expect, without a name; it says first what leaves the computer. If
          you were given an address and a code: open the address on your phone and type the code.{' '}
          <b>Try it yourself</b> lets you move the bench on your own, <b>Back to the lecturer</b>{' '}
          follows again.
        </p>
        <h2>Safety</h2>
        <p class="notice">
          Calculations hurt nobody; light can. Never look along a beam of sunlight or of a laser, or
          through a lens or telescope at the sun or a lamp’s beam. Mercury lamps give ultraviolet
          light, lamps get hot, supplies carry mains or higher voltage. Read the caution on each
          sheet and beside the bench’s light before you set anything up; local rules and the
          responsible safety officer decide.
        </p>
      </div>
    </main>
  );
}
