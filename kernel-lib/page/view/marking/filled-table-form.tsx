import { useMemo, useState } from 'preact/hooks';
import { exportColumns } from '../../../marking/export-table';
import {
  type Filling,
  type ForeignTable,
  fillTable,
  guessFilling,
  readForeignTable,
} from '../../../marking/fill-table';
import type { GoingBackTold, LookedThrough } from '../../../marking/looked-through';
import { saveAs } from '../save-as';
import { ask } from './ask';

interface FormProps {
  looked: LookedThrough;
  told: GoingBackTold;
  onTold: (told: GoingBackTold) => void;
}

interface Taken {
  readonly name: string;
  readonly table: ForeignTable;
}

/** Another system's own table, with marks put into some of its columns; all else in it stays byte for byte. */
export function FilledTableForm({ looked, told, onTold }: FormProps) {
  const { grid, folder } = looked;
  const [taken, setTaken] = useState<Taken>();
  const [filling, setFilling] = useState<Filling>();
  const [name, setName] = useState('');
  const [fault, setFault] = useState('');
  const [kept, setKept] = useState('');
  const people = useMemo(() => new Map(Object.entries(told.people)), [told.people]);
  const filled = useMemo(
    () => (taken && filling ? fillTable(taken.table, grid, people, filling) : undefined),
    [taken, filling, grid, people],
  );
  const choices = useMemo(
    () => exportColumns(grid).filter(({ id }) => !/^student$/.test(id)),
    [grid],
  );

  const take = async (file: File) => {
    setFault('');
    setKept('');
    try {
      const table = readForeignTable(new Uint8Array(await file.arrayBuffer()));
      const guess = guessFilling(table, grid);
      const known = told.profiles.find(({ into }) => into && fits(table, guess.head, into));
      setTaken({ name: file.name, table });
      setFilling(known?.into ? fillingBy(table, guess, known.into) : guess);
      setName(known?.name ?? '');
    } catch {
      setFault(`${file.name} cannot be read any more: choose it anew.`);
    }
  };
  const keep = async () => {
    if (!taken || !filling) return;
    const heads = headsOf(taken.table, filling.head);
    const profile = {
      ...{ name, columns: [], delimiter: ',' as const, as: 'marks' as const },
      into: {
        student: heads[filling.student] ?? '',
        columns: filling.columns.map(({ at, id }) => ({ heading: heads[at] ?? '', id })),
        ...{ decimal: filling.decimal, toPoints: filling.toPoints },
      },
    };
    try {
      onTold({ ...told, profiles: await ask.keepProfile(folder, profile) });
      setFault('');
      setKept(`Kept as “${name.trim()}”: a table with these headings is filled so by itself.`);
    } catch (error) {
      setFault((error as Error).message);
    }
  };

  return (
    <section
      class="paper"
      aria-labelledby="filled"
      onDragOver={(event) => event.preventDefault()}
      onDrop={(event) => {
        event.preventDefault();
        const [file] = event.dataTransfer?.files ?? [];
        if (file) void take(file);
      }}
    >
      <h2 id="filled">Marks into a table that another system gave you</h2>
      <p class="soft">
        Drop its CSV here: marks go into the columns that you choose, and everything else in it
        stays byte for byte. Cells of whom nothing came back stay as they are.
      </p>
      <p>
        <input
          type="file"
          aria-label="A table to be filled"
          onChange={(event) => {
            const [file] = event.currentTarget.files ?? [];
            if (file) void take(file);
            event.currentTarget.value = '';
          }}
        />
      </p>
      {taken && filling && filled && (
        <>
          <Chosen
            table={taken.table}
            filling={filling}
            choices={choices}
            onChoose={(part) => setFilling({ ...filling, ...part })}
          />
          <p role="status">
            {filled.written === 1 ? '1 cell' : `${filled.written} cells`} of {taken.name}{' '}
            {filled.written === 1 ? 'gets' : 'get'} marks.
            {filled.notThere.length > 0 &&
              ` Not in the table: ${some(filled.notThere)} of this class.`}
            {filled.unknown.length > 0 &&
              ` Nobody here has ${some(filled.unknown)}; these rows stay.`}
          </p>
          <p class="row">
            <button
              type="button"
              class="main"
              disabled={filled.written === 0}
              onClick={() => saveAs({ name: taken.name, content: filled.bytes })}
            >
              Save the filled table
            </button>
            <input
              aria-label="Name of this way of filling"
              placeholder="name of this way"
              value={name}
              onInput={(event) => setName(event.currentTarget.value)}
            />
            <button type="button" onClick={() => void keep()}>
              Keep this way
            </button>
            <span role="status">{kept}</span>
          </p>
        </>
      )}
      <p class="fault" role="alert">
        {fault}
      </p>
    </section>
  );
}

const some = (all: readonly string[]) =>
  all.length <= 8 ? all.join(', ') : `${all.slice(0, 8).join(', ')} and ${all.length - 8} more`;

const headsOf = ({ rows }: ForeignTable, head: number) =>
  (rows[head] ?? []).map(({ text }) => text);

type Into = NonNullable<GoingBackTold['profiles'][number]['into']>;

const fits = (table: ForeignTable, head: number, { student, columns }: Into) => {
  const heads = headsOf(table, head);
  return heads.includes(student) && columns.every(({ heading }) => heads.includes(heading));
};

function fillingBy(table: ForeignTable, guess: Filling, into: Into): Filling {
  const heads = headsOf(table, guess.head);
  return {
    head: guess.head,
    student: heads.indexOf(into.student),
    columns: into.columns.map(({ heading, id }) => ({ at: heads.indexOf(heading), id })),
    ...{ decimal: into.decimal, toPoints: into.toPoints },
  };
}

interface ChosenProps {
  table: ForeignTable;
  filling: Filling;
  choices: readonly { readonly id: string; readonly head: string }[];
  onChoose: (part: Partial<Filling>) => void;
}

/** Which row has the headings, which column the numbers, and what goes into the others. */
function Chosen({ table, filling, choices, onChoose }: ChosenProps) {
  const heads = headsOf(table, filling.head);
  const idAt = (at: number) => filling.columns.find((one) => one.at === at)?.id ?? '';
  const titled = (text: string, at: number) => text || `column ${at + 1}`;
  return (
    <>
      <div class="row">
        <label>
          <span class="named">line with the headings</span>
          <input
            class="short"
            type="number"
            min="1"
            max={table.rows.length}
            value={filling.head + 1}
            onInput={(event) =>
              onChoose({ head: Math.max(0, Number(event.currentTarget.value) - 1), columns: [] })
            }
          />
        </label>
        <label>
          <span class="named">student numbers stand in</span>
          <select
            value={filling.student}
            onChange={(event) => onChoose({ student: Number(event.currentTarget.value) })}
          >
            {heads.map((text, at) => (
              <option key={at} value={at}>
                {titled(text, at)}
              </option>
            ))}
          </select>
        </label>
        <label>
          <span class="named">decimal sign</span>
          <select
            value={filling.decimal}
            onChange={(event) =>
              onChoose({ decimal: event.currentTarget.value as Filling['decimal'] })
            }
          >
            <option value=".">point: 7.5</option>
            <option value=",">comma: 7,5</option>
          </select>
        </label>
        <label class="tick">
          <input
            type="checkbox"
            checked={filling.toPoints}
            onChange={(event) => onChoose({ toPoints: event.currentTarget.checked })}
          />{' '}
          in proportion to points that a heading has in brackets
        </label>
      </div>
      <fieldset class="columns">
        <legend>What goes into its columns</legend>
        {heads.map((text, at) =>
          at === filling.student ? null : (
            <label key={at} class="column">
              {titled(text, at)}{' '}
              <select
                value={idAt(at)}
                onChange={(event) => {
                  const id = event.currentTarget.value;
                  const others = filling.columns.filter((one) => one.at !== at);
                  onChoose({ columns: id === '' ? others : [...others, { at, id }] });
                }}
              >
                <option value="">stays as it is</option>
                {choices.map((one) => (
                  <option key={one.id} value={one.id}>
                    {one.head}
                  </option>
                ))}
              </select>
            </label>
          ),
        )}
      </fieldset>
    </>
  );
}
