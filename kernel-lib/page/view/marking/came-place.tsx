import { useEffect, useRef, useState } from 'preact/hooks';
import type { RunState, WhatCameIn } from '../../../marking/looked-through';
import { ask } from './ask';
import { ClassForm, type ClassTyped } from './class-form';
import { chosenIn, type Dropped, droppedIn } from './dropped';
import { Files } from './files-in';

interface PlaceProps {
  folder: string;
  came: WhatCameIn;
  onCame: (came: WhatCameIn) => void;
  /** A run has ended: the marks may be others. */
  onEnded: () => void;
}

/** The first place: every file that came in and whose it is, and the run that marks them. */
export function CamePlace({ folder, came, onCame, onEnded }: PlaceProps) {
  const [returns, setReturns] = useState(came.returns);
  const [fault, setFault] = useState('');
  const [told, setTold] = useState<readonly string[]>([]);
  const [isTaking, setTaking] = useState(false);
  const [typed, setTyped] = useState<ClassTyped>({});
  const [isWatching, setWatching] = useState(false);
  const [isListing, setListing] = useState(false);
  const begunWith = useRef<ClassTyped>({});
  const run = came.run;

  /** What is kept by now; what was typed meanwhile stands. */
  const forget = (sent: ClassTyped) =>
    setTyped((now) =>
      Object.fromEntries(
        Object.entries(now).filter(([name, value]) => sent[name as keyof ClassTyped] !== value),
      ),
    );

  /** Keep what was typed, and list what lies among the returns by it. */
  const list = async () => {
    setFault('');
    setListing(true);
    try {
      onCame(await ask.setUp(folder, { ...typed, returns: returns.trim() }));
      forget(typed);
    } catch (error) {
      setFault((error as Error).message);
    }
    setListing(false);
  };

  useEffect(() => {
    if (!isWatching) return;
    let gone = false;
    let soon: ReturnType<typeof setTimeout>;
    const look = async () => {
      try {
        const { came: now } = await ask.watch(folder);
        if (gone) return;
        setFault('');
        if (now) onCame(now);
      } catch (error) {
        if (!gone) setFault((error as Error).message);
      }
      if (!gone) soon = setTimeout(look, 1500);
    };
    void look();
    return () => {
      gone = true;
      clearTimeout(soon);
    };
  }, [folder, isWatching]);

  const takeIn = async (files: readonly Dropped[]) => {
    setFault('');
    setTaking(true);
    const sentences: string[] = [];
    const place = returns.trim() || came.usualReturns;
    setReturns(place);
    try {
      for (const { path, file } of files) {
        sentences.push(await ask.drop(folder, place, path, file));
        setTold([...sentences]);
      }
      await list();
    } catch (error) {
      setFault((error as Error).message);
    }
    setTaking(false);
  };

  useEffect(() => {
    if (run?.is !== 'running') return;
    let gone = false;
    let soon: ReturnType<typeof setTimeout>;
    const look = async () => {
      const now = await ask.running(folder).catch(() => undefined);
      if (gone) return;
      if (now && now.is !== 'running') {
        // A run that was stopped may have kept nothing of it: going on sends it again.
        if (now.is === 'done') forget(begunWith.current);
        onCame(await ask.came(folder));
        onEnded();
        return;
      }
      if (now) onCame({ ...came, run: now });
      soon = setTimeout(look, 400);
    };
    soon = setTimeout(look, 200);
    return () => {
      gone = true;
      clearTimeout(soon);
    };
  }, [folder, run?.is, run?.startedAt]);

  const begin = async () => {
    setFault('');
    try {
      const place = returns.trim() || came.usualReturns;
      const state = await ask.run(folder, { ...typed, returns: place });
      begunWith.current = typed;
      onCame({ ...came, run: state });
    } catch (error) {
      setFault((error as Error).message);
    }
  };

  return (
    <div class="came-in">
      <datalist id="students">
        {came.students.map((student) => (
          <option key={student} value={student} />
        ))}
      </datalist>
      <section class="paper" aria-label="The class">
        <details open={came.files.length === 0}>
          <summary>
            <h2>The class: roster, deadline, lateness</h2>
          </summary>
          <ClassForm
            folder={folder}
            came={came}
            typed={typed}
            onType={setTyped}
            onCame={onCame}
            onKeep={list}
          />
        </details>
      </section>
      <section
        class="paper"
        aria-label="Returns and the run"
        onDragOver={(event) => event.preventDefault()}
        onDrop={(event) => {
          event.preventDefault();
          if (event.dataTransfer) void droppedIn(event.dataTransfer).then(takeIn);
        }}
      >
        <label for="returns">Folder or zip with the returns, on this computer</label>
        <input
          id="returns"
          class="wide"
          autoComplete="off"
          spellcheck={false}
          placeholder={came.usualReturns}
          value={returns}
          onInput={(event) => setReturns(event.currentTarget.value)}
        />
        <p class="drop">
          Drop files, zips or folders here, and they are kept in that folder.{' '}
          <label>
            <span class="aloud">Files to be taken in</span>
            <input
              type="file"
              multiple
              disabled={isTaking}
              onChange={(event) => {
                void takeIn(chosenIn(event.currentTarget.files));
                event.currentTarget.value = '';
              }}
            />
          </label>{' '}
          <label>
            or a whole folder:{' '}
            <input
              type="file"
              aria-label="A folder to be taken in"
              {...{ webkitdirectory: true }}
              disabled={isTaking}
              onChange={(event) => {
                void takeIn(chosenIn(event.currentTarget.files));
                event.currentTarget.value = '';
              }}
            />
          </label>
        </p>
        <p class="row">
          <button
            type="button"
            disabled={isListing || run?.is === 'running'}
            onClick={() => void list()}
          >
            List what is there
          </button>
          <label class="tick">
            <input
              type="checkbox"
              checked={isWatching}
              onChange={(event) => setWatching(event.currentTarget.checked)}
            />{' '}
            watch that folder for more
          </label>
          <span role="status">{isListing && 'Listing what came in …'}</span>
        </p>
        {told.length > 0 && (
          <p role="status">
            {told.length === 1 ? told[0] : `${told.length} files: ${told.at(-1)}`}
          </p>
        )}
        <RunForm
          run={run}
          onBegin={() => void begin()}
          onStop={async () => onCame(await ask.stop(folder))}
        />
        {fault && (
          <p class="notice" role="alert">
            {fault}
          </p>
        )}
        {run && <RunShown run={run} />}
      </section>
      <Files folder={folder} came={came} onCame={onCame} />
    </div>
  );
}

interface RunFormProps {
  run: RunState | undefined;
  onBegin: () => void;
  onStop: () => Promise<void>;
}

function RunForm({ run, onBegin, onStop }: RunFormProps) {
  return (
    <p class="row">
      {run?.is === 'running' ? (
        <button type="button" class="main" onClick={() => void onStop()}>
          Stop
        </button>
      ) : (
        <button type="button" class="main" onClick={onBegin}>
          {run?.is === 'stopped' ? 'Go on' : 'Run'}
        </button>
      )}
    </p>
  );
}

const ended = {
  running: '',
  done: 'Marked to the end.',
  stopped: 'Stopped. What is marked stays marked; Go on takes it up from there.',
  failed: 'Nothing more was marked:',
} as const;

function timeLeft({ startedAt, toldAt, done, of }: RunState): string {
  if (done === 0 || toldAt === undefined) return '';
  const seconds = ((toldAt - startedAt) / 1000 / done) * (of - done);
  return seconds < 90 ? `, ${Math.ceil(seconds)} s left` : `, ${Math.ceil(seconds / 60)} min left`;
}

function RunShown({ run }: { run: RunState }) {
  const { is, done, of, lockDown, said } = run;
  return (
    <div class="run" data-run={is}>
      {is === 'running' && (
        <>
          <progress
            aria-label="Returns that were run"
            max={Math.max(1, of)}
            value={of === 0 ? undefined : done}
          />
          <p role="status">
            {of === 0 ? 'Looking at what came in …' : `${done} of ${of} returns${timeLeft(run)}`}
            {lockDown !== undefined && `. Students’ code runs shut off by ${lockDown}.`}
          </p>
        </>
      )}
      {is !== 'running' && <p role="status">{ended[is]}</p>}
      {said !== '' && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, and the keyboard must reach it
        <section class="printed" tabIndex={0} aria-label="What the run said">
          {said.trim()}
        </section>
      )}
    </div>
  );
}
