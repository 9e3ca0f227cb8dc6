import { useMemo, useState } from 'preact/hooks';
import type { CameIn, WhatCameIn } from '../../../marking/looked-through';
import { ask } from './ask';

interface FilesProps {
  folder: string;
  came: WhatCameIn;
  onCame: (came: WhatCameIn) => void;
}

/** Every file that came in, whose it is, and what a person says about that. */
export function Files({ folder, came, onCame }: FilesProps) {
  const { files } = came;
  const open = useMemo(() => files.filter(({ waits }) => waits), [files]);
  const isFresh = useMemo(() => files.some(({ outcome }) => outcome === 'to be marked'), [files]);
  const [asked, setAsked] = useState<boolean>();
  // What was not marked yet is shown as it comes.
  const all = asked ?? isFresh;
  const [text, setText] = useState('');
  const found = (all ? files : [...open, ...files.filter(({ said }) => said)]).filter(
    ({ path, student, sheet }) =>
      `${path} ${student} ${sheet}`.toLowerCase().includes(text.toLowerCase().trim()),
  );
  if (files.length === 0)
    return (
      <section class="paper" aria-label="Files">
        <p>
          Nothing was looked at yet: drop the returns, or name their folder and list what is there.
        </p>
      </section>
    );
  return (
    <section class="paper" aria-label="Files">
      <h2>
        {open.length === 0
          ? 'Every file is accounted for'
          : open.length === 1
            ? '1 file waits for you'
            : `${open.length} files wait for you`}
      </h2>
      <div class="filters">
        <label>
          <span class="named">find</span>
          <input
            type="search"
            value={text}
            onInput={(event) => setText(event.currentTarget.value)}
          />
        </label>
        <label class="tick">
          <input
            type="checkbox"
            checked={all}
            onChange={(event) => setAsked(event.currentTarget.checked)}
          />{' '}
          all {files.length} files
        </label>
      </div>
      <ul class="files">
        {found.slice(0, most).map((file) => (
          <FileShown key={file.path} folder={folder} file={file} onCame={onCame} />
        ))}
      </ul>
      {found.length > most && (
        <p class="soft">
          {most} of {found.length} are shown; find narrows them down.
        </p>
      )}
    </section>
  );
}

const most = 300;

interface FileProps {
  folder: string;
  file: CameIn;
  onCame: (came: WhatCameIn) => void;
}

function FileShown({ folder, file, onCame }: FileProps) {
  const { path, outcome, student, sheet, time, timeFrom, remark, files, said, isReturn } = file;
  const { isAlso } = file;
  const [isOpening, setOpening] = useState(false);
  const facts = [student && `of ${student}`, sheet, time && `${time} (by the ${timeFrom})`];
  const saidWords = said && (said.student === '' ? 'to be left out' : `of ${said.student}`);
  return (
    <li>
      <p class="file">
        <span class="path">{path}</span> <b>{files > 1 ? `${files} files, ${outcome}` : outcome}</b>
      </p>
      <p class="soft">{facts.filter(Boolean).join(' · ')}</p>
      {remark !== '' && <p>{remark}</p>}
      {said && (
        <p>
          You said: {saidWords}. {said.reason} Each run goes by it from now on.
        </p>
      )}
      {isAlso ? null : isOpening ? (
        <SayForm
          folder={folder}
          file={file}
          onCame={(came) => {
            setOpening(false);
            onCame(came);
          }}
        />
      ) : (
        <button type="button" class="quiet" onClick={() => setOpening(true)}>
          {said ? 'Say otherwise' : isReturn ? 'Say whose it is, or leave it out' : 'Leave it out'}
          <span class="aloud">: {path}</span>
        </button>
      )}
    </li>
  );
}

function SayForm({ folder, file, onCame }: FileProps) {
  const [student, setStudent] = useState(file.said?.student || file.student);
  const [reason, setReason] = useState(file.said?.reason ?? '');
  const [fault, setFault] = useState('');
  const say = (whose: string | undefined) =>
    ask
      .say(folder, file.path, whose, reason)
      .then(onCame, (error: Error) => setFault(error.message));
  return (
    <form
      class="say"
      onSubmit={(event) => {
        event.preventDefault();
        if (!file.isReturn) void say('');
        else if (student.trim() === '') setFault('Choose a student, or leave the file out.');
        else void say(student);
      }}
    >
      {file.isReturn && (
        <label>
          <span class="named">student</span>
          <input
            list="students"
            autoComplete="off"
            value={student}
            onInput={(event) => setStudent(event.currentTarget.value)}
          />
        </label>
      )}
      <label class="why">
        <span class="named">reason</span>
        <input
          autoComplete="off"
          maxLength={2000}
          value={reason}
          onInput={(event) => setReason(event.currentTarget.value)}
        />
      </label>
      {file.isReturn && (
        <button type="submit" class="main">
          It is this student’s
        </button>
      )}
      <button type="button" onClick={() => void say('')}>
        Leave out
      </button>
      {file.said && (
        <button type="button" class="quiet" onClick={() => void say(undefined)}>
          Take back
        </button>
      )}
      <p class="fault" role="alert">
        {fault}
      </p>
    </form>
  );
}
