import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import { type CodeCell, sourceOf, tagOf } from '../../notebook/notebook';
import { placeIn } from '../sheet/outputs';
import type { RunState } from '../sheet/runner';
import type { Session } from '../sheet/session';
import { isChangedSince, isFailing } from '../sheet/working';
import { useStore, useValue } from '../store';
import { Act } from './act';
import { RemoveCell } from './added-cells';
import { CodeBox, editing } from './code-box';
import { focusAfter } from './focus';
import { Later } from './later';
import { Move } from './movable-view';
import { openPhotograph } from './open-photograph';
import { OutputsView } from './outputs-view';
import { RunningNote, StopKeeps } from './running-note';

const kinds = {
  given: { title: 'Given', act: 'Run' },
  answer: { title: 'Answer', act: 'Check' },
  work: { title: 'Your working', act: 'Run' },
  own: { title: 'Your own working', act: 'Run' },
};

interface Props {
  cell: CodeCell;
  /** Of the part that it stands in. */
  question: string | undefined;
  session: Session;
}

/** A place to work in, an answer line, or what is given; with what came out below. */
export function CodeCellView({ cell, question, session }: Props) {
  const role = tagOf(cell)?.role;
  const kind = role === 'given' || role === 'answer' || role === 'work' ? role : 'own';
  const { title, act } = kinds[kind];
  const { running, runningText, renewed, waiting, runs, asked, notes } = useStore(
    session.runner.state,
  );
  const locked = cell.metadata.editable === false;
  const source = sourceOf(cell);
  const frame = useRef<HTMLDivElement>(null);
  const state = cell.id === running ? 'running' : waiting.includes(cell.id) ? 'waiting' : 'still';
  const run = () => session.runner.runCell(cell.id);
  const runOn = () => {
    run();
    if (frame.current) focusAfter(frame.current);
  };
  const label = question ? `${title}, question ${question}` : title;
  const move = useCallback(
    (slider: string, value: number) => session.runner.move(cell.id, slider, value),
    [session, cell.id],
  );

  const photographs = kind === 'own' || (kind === 'work' && /\bpicture[A-Z]/.test(source));
  const [photograph, setPhotograph] = useState(openPhotograph.value === cell.id);
  const panel = {
    name: `${session.path} ${cell.id}`,
    beside: session.host.files.beside,
    source: () => sourceOf(session.model.cell(cell.id) ?? cell),
    write: (text: string, runs: boolean) => {
      const box = frame.current;
      const plainly = () => session.model.edit(cell.id, text);
      const put = box
        ? editing().then(({ replaceAll }) => replaceAll(box, text) || plainly(), plainly)
        : Promise.resolve(plainly());
      void put.then(() => runs && run());
    },
    onClose: () => {
      setPhotograph(false);
      // Back to what opened it.
      frame.current?.querySelector<HTMLElement>(`[aria-label="${label}: Photograph"]`)?.focus();
    },
  };

  const ranText = useValue(session.ranTexts.texts, (texts) => texts.get(cell.id));
  // What stands there now is asked for: a key may come before what was typed is shown.
  const bringBack = () => {
    const box = frame.current;
    const text = session.ranTexts.texts.value.get(cell.id);
    const present = session.model.cell(cell.id);
    if (text === undefined || !box || !present || text === sourceOf(present)) return;
    const plainly = () => session.model.edit(cell.id, text);
    editing().then(({ replaceAll }) => replaceAll(box, text) || plainly(), plainly);
  };

  // Shift+Enter anywhere in the cell runs it and moves on; Ctrl or ⌘+Enter runs it and stays.
  useEffect(() => {
    const box = frame.current;
    const key = (event: KeyboardEvent) => {
      if ((event.target as Element).closest('.asked')) return;
      if (event.key === 'F2' && !locked) {
        event.preventDefault();
        bringBack();
        return;
      }
      if (event.key !== 'Enter' || !(event.shiftKey || event.ctrlKey || event.metaKey)) return;
      event.preventDefault();
      event.stopPropagation();
      if (event.shiftKey) runOn();
      else run();
    };
    box?.addEventListener('keydown', key, { capture: true });
    return () => box?.removeEventListener('keydown', key, { capture: true });
  });

  return (
    <div
      class={`code-cell ${kind}`}
      data-state={state}
      data-renewed={cell.id === running && renewed}
      data-cell={cell.id}
      data-runs={runs.get(cell.id) ?? 0}
      data-older={notes.get(cell.id)?.older !== undefined}
      ref={frame}
    >
      <div class="entry">
        <CodeBox
          folded={kind === 'given'}
          source={source}
          locked={locked}
          label={label}
          title={title}
          kernel={session.kernel}
          fault={placeIn(cell.outputs)}
          runs={state !== 'still'}
          onChange={(text) => session.model.edit(cell.id, text)}
        />
        <div class="acts">
          <Act
            main={kind === 'given' && cell.outputs.length === 0}
            onClick={run}
            off={waiting.includes(cell.id) || (state === 'running' && source === runningText)}
            label={`${act}: ${label}`}
          >
            {act}
          </Act>
          <Act
            quiet
            onClick={() => session.runner.runFrom(cell.id)}
            label={`${label}: Run from here`}
          >
            Run from here
          </Act>
          {ranText !== undefined && ranText !== source && (
            <Act quiet onClick={bringBack} label={`${label}: Back to what ran`}>
              Back to what ran
            </Act>
          )}
          {photographs && (
            <Act onClick={() => setPhotograph(!photograph)} label={`${label}: Photograph`}>
              Photograph
            </Act>
          )}
          {kind === 'own' && <RemoveCell id={cell.id} label={label} session={session} />}
          <CellNote cell={cell} session={session} state={state} />
        </div>
      </div>
      {photograph && <Later load={picturePanel} props={panel} />}
      {state === 'running' && <StopKeeps />}
      <Move.Provider value={move}>
        {kind === 'answer' && question !== undefined ? (
          <CheckedOutputs outputs={cell.outputs} question={question} session={session} />
        ) : (
          <OutputsView outputs={cell.outputs} />
        )}
      </Move.Provider>
      {asked && cell.id === running && <AskBox key={asked.question} asked={asked} />}
    </div>
  );
}

/** What works on photographs is fetched when the first is wanted. */
const picturePanel = () =>
  import('../picture/picture-panel').then(({ PicturePanel }) => PicturePanel);

interface CellNoteProps {
  cell: CodeCell;
  session: Session;
  state: 'running' | 'waiting' | 'still';
}

/** A few words beside a cell's button: what it is doing, or that its outputs are of an earlier text. */
function CellNote({ cell, session, state }: CellNoteProps) {
  const tag = tagOf(cell);
  if (state !== 'still')
    return state === 'running' ? <RunningNote /> : <span class="note">waiting its turn</span>;
  const told = session.runner.state.value.notes.get(cell.id);
  if (told?.older) return <span class="note">{told.words}</span>;
  if (tag?.role === 'answer' && tag.question !== undefined)
    return <CheckedNote question={tag.question} session={session} />;
  const before = session.runner.state.value.ran.get(cell.id);
  const changed = before !== undefined && before !== sourceOf(cell);
  return <span class="note">{changed ? 'changed since it ran' : told?.words}</span>;
}

interface CheckedProps {
  outputs: CodeCell['outputs'];
  question: string;
  session: Session;
}

/** What a check showed; a verdict on working that was changed since stands back. */
function CheckedOutputs({ outputs, question, session }: CheckedProps) {
  const older = useValue(session.model.cells, (cells) => isChangedSince(cells, question));
  const fails = useValue(session.model.cells, (cells) => isFailing(cells, question));
  return <OutputsView outputs={outputs} older={older} fails={fails} />;
}

function CheckedNote({ question, session }: { question: string; session: Session }) {
  const says = useValue(session.model.cells, (cells) =>
    isFailing(cells, question)
      ? 'your working above has an error: mend that first'
      : isChangedSince(cells, question) && 'working changed since',
  );
  return <span class="note">{says}</span>;
}

/** What the running cell asks of the reader, with a box for the answer. */
function AskBox({ asked }: { asked: NonNullable<RunState['asked']> }) {
  const box = useRef<HTMLInputElement>(null);
  useEffect(() => box.current?.focus(), [asked]);
  return (
    <form
      class="asked"
      // Shift+Enter is Enter here: the cell is at work already.
      onKeyDown={(event) => event.stopPropagation()}
      onSubmit={(event) => {
        event.preventDefault();
        asked.answer(box.current?.value ?? '');
      }}
    >
      <label>
        <span>{asked.question || 'The cell asks for a line of text.'}</span>
        <input ref={box} type="text" autocomplete="off" />
      </label>
      <button type="submit" class="main">
        Answer
      </button>
    </form>
  );
}
