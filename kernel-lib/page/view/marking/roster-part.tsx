import { useState } from 'preact/hooks';
import type { ClassTold, ClassToSet, WhatCameIn } from '../../../marking/looked-through';
import type { RosterColumns, RosterHead, RosterKind } from '../../../marking/roster';
import { ask } from './ask';

const kinds: readonly (readonly [RosterKind, string])[] = [
  ['student', 'student number'],
  ['name', 'name'],
  ['first', 'first name'],
  ['last', 'last name'],
  ['email', 'e-mail'],
  ['group', 'group'],
  ['extra days', 'extra days'],
];

interface RosterProps {
  folder: string;
  setUp: ClassTold;
  typed: ClassToSet;
  onType: (part: ClassToSet) => void;
  onCame: (came: WhatCameIn) => void;
}

/** The list of the class: its file, and which column holds what. */
export function RosterPart({ folder, setUp, typed, onType, onCame }: RosterProps) {
  const { roster } = setUp;
  const [file, setFile] = useState<File>();
  const [dropped, setDropped] = useState<RosterHead>();
  const [fault, setFault] = useState('');
  const head = dropped ?? roster;
  const columns: RosterColumns = { ...(dropped ? {} : roster?.said), ...typed.rosterColumns };

  const take = async (list: File, said: RosterColumns) => {
    setFile(list);
    setFault('');
    try {
      const { taken, came } = await ask.roster(folder, list, said);
      setDropped(came ? undefined : taken);
      if (came) {
        setFile(undefined);
        onType({ roster: undefined, rosterColumns: undefined });
        onCame(came);
      } else setFault(taken.problem ?? '');
    } catch (error) {
      setFault((error as Error).message);
    }
  };
  const say = (kind: RosterKind, name: string) => {
    const said = { ...columns, [kind]: name };
    onType({ rosterColumns: said });
    if (file) void take(file, said);
  };

  return (
    <fieldset
      onDragOver={(event) => event.preventDefault()}
      onDrop={(event) => {
        event.preventDefault();
        event.stopPropagation();
        const [list] = event.dataTransfer?.files ?? [];
        if (list) void take(list, {});
      }}
    >
      <legend>Roster</legend>
      <p>
        {roster
          ? `${roster.students} students, from ${roster.file}.`
          : 'None yet: whoever handed something in is marked.'}{' '}
        <label>
          <span class="soft">Drop a list (CSV) here, or choose one:</span>{' '}
          <input
            type="file"
            aria-label="A roster to be taken in"
            onChange={(event) => {
              const [list] = event.currentTarget.files ?? [];
              if (list) void take(list, {});
              event.currentTarget.value = '';
            }}
          />
        </label>
      </p>
      <label class="setting">
        roster: or a CSV file on this computer, where it stays
        <input
          class="wide"
          autoComplete="off"
          spellcheck={false}
          value={typed.roster ?? ''}
          onInput={(event) => onType({ roster: event.currentTarget.value || undefined })}
        />
      </label>
      {(fault || roster?.problem) && (
        <p class="fault" role="alert">
          {fault || roster?.problem}
        </p>
      )}
      {head && head.head.length > 0 && (
        <fieldset class="row">
          <legend>
            {dropped && file
              ? `Which columns of ${file.name} say what? It is kept as soon as the numbers are found.`
              : 'Which of its columns say what'}
          </legend>
          {kinds.map(([kind, said]) => (
            <label key={kind}>
              <span class="named">{said}</span>
              <select
                value={columns[kind] ?? head.known[kind] ?? ''}
                onChange={(event) => say(kind, event.currentTarget.value)}
              >
                <option value="">none</option>
                {head.head.map((name) => (
                  <option key={name} value={name}>
                    {name}
                  </option>
                ))}
              </select>
            </label>
          ))}
        </fieldset>
      )}
    </fieldset>
  );
}
