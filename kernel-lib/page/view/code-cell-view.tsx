import type { EditorView } from '@codemirror/view';
import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import { type CodeCell, sourceOf, tagOf } from '../../notebook/notebook';
import type { KernelLine } from '../net/host';
import { type ErrorPlace, placeIn } from '../sheet/outputs';
import type { RunState } from '../sheet/runner';
import type { Session } from '../sheet/session';
import { isChangedSince } from '../sheet/working';
import { useStore, useValue } from '../store';
import { Act } from './act';
import { RemoveCell } from './added-cells';
import { focusAfter } from './focus';
import { Later } from './later';
import { Move } from './movable-view';
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
  const { running, renewed, waiting, runs, asked, notes } = useStore(session.runner.state);
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
  const [photograph, setPhotograph] = useState(false);
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
    onClose: () => setPhotograph(false),
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
            off={state !== 'still'}
            label={`${act}: ${label}`}
          >
            {act}
          </Act>
          <Act
            quiet
            onClick={() => session.runner.runFrom(cell.id)}
            off={state !== 'still'}
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

interface CodeBoxProps {
  source: string;
  locked: boolean;
  /** Shown only when asked for. */
  folded: boolean;
  label: string;
  title: string;
  kernel: KernelLine;
  fault: ErrorPlace | undefined;
  /** Running, or about to. */
  runs: boolean;
  onChange: (source: string) => void;
}

/** The editor is fetched once the sheet stands; until then the code is plain text in the same place. */
const editing = () => import('../edit/editor');

/** What works on photographs is fetched when the first is wanted. */
const picturePanel = () =>
  import('../picture/picture-panel').then(({ PicturePanel }) => PicturePanel);

/** The code of a cell. */
function CodeBox({
  source,
  locked,
  folded,
  label,
  title,
  kernel,
  fault,
  runs,
  onChange,
}: CodeBoxProps) {
  const place = useRef<HTMLDivElement>(null);
  const [view, setView] = useState<EditorView>();
  const [plain, setPlain] = useState(false);
  const latest = useRef({ source, onChange });
  latest.current = { source, onChange };

  useEffect(() => {
    if (folded) return;
    let made: EditorView | undefined;
    let gone = false;
    const begin = ({ makeEditor }: Awaited<ReturnType<typeof editing>>) => {
      if (gone || !place.current) return;
      const { source } = latest.current;
      const change = (text: string) => latest.current.onChange(text);
      made = makeEditor({ parent: place.current, source, locked, label, kernel, onChange: change });
      setView(made);
    };
    // Without the editor, when it cannot be fetched any more, a plain field serves as well.
    editing().then(begin, () => setPlain(true));
    return () => {
      gone = true;
      made?.destroy();
      setView(undefined);
    };
  }, [kernel, locked, folded, label]);

  useEffect(() => {
    if (view) void editing().then(({ underline }) => underline(view, fault));
  }, [view, fault?.line, fault?.column, fault?.message]);

  useEffect(() => {
    if (view && runs) void editing().then(({ closeLists }) => closeLists(view));
  }, [view, runs]);

  if (folded)
    return (
      <details class="code locked">
        <summary class="caption">{title}: the code behind it</summary>
        <pre class="still">{source}</pre>
      </details>
    );
  return (
    <div class={locked ? 'code locked' : 'code'}>
      <span class="caption" aria-hidden="true">
        {title}
      </span>
      <div ref={place}>
        {!view && (!plain || locked) && <pre class="still">{source}</pre>}
        {!view && plain && !locked && (
          <textarea
            class="still"
            aria-label={label}
            spellcheck={false}
            rows={source.split('\n').length + 1}
            value={source}
            onInput={(event) => onChange(event.currentTarget.value)}
          />
        )}
      </div>
    </div>
  );
}

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
  return <OutputsView outputs={outputs} older={older} />;
}

function CheckedNote({ question, session }: { question: string; session: Session }) {
  const cells = useStore(session.model.cells);
  return <span class="note">{isChangedSince(cells, question) && 'working changed since'}</span>;
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
