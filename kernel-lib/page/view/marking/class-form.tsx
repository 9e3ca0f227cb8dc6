import { useEffect, useMemo, useState } from 'preact/hooks';
import { type LateRule, lateSaid } from '../../../marking/late';
import type { ClassTold, ClassToSet, WhatCameIn } from '../../../marking/looked-through';
import { knownZone, readMoment } from '../../../marking/moment';
import { ask } from './ask';
import { RosterPart } from './roster-part';

/** What stands in the form: what is kept, with what was changed since. */
export type ClassTyped = ClassToSet;

interface FormProps {
  folder: string;
  came: WhatCameIn;
  typed: ClassTyped;
  onType: (typed: ClassTyped) => void;
  onCame: (came: WhatCameIn) => void;
  onKeep: () => Promise<void>;
}

/** What a class goes by: list, sheets, deadline, rounds, lateness, days granted. */
export function ClassForm({ folder, came, typed, onType, onCame, onKeep }: FormProps) {
  const { setUp } = came;
  const now = { ...setUp, ...typed };
  const set = (part: ClassTyped) => onType({ ...typed, ...part });
  const chosen =
    typed.sheets ?? setUp.sheets.filter(({ isChosen }) => isChosen).map(({ sheet }) => sheet);
  const zones = useMemo(() => Intl.supportedValuesOf('timeZone'), []);
  const isChanged = Object.values(typed).some((value) => value !== undefined);
  return (
    <div class="class-form">
      <RosterPart folder={folder} setUp={setUp} typed={typed} onType={set} onCame={onCame} />
      <fieldset>
        <legend>Sheets that are marked</legend>
        {setUp.sheets.map(({ sheet, title }) => (
          <label key={sheet} class="tick">
            <input
              type="checkbox"
              checked={chosen.length === 0 || chosen.includes(sheet)}
              onChange={(event) => {
                const all = setUp.sheets.map((one) => one.sheet);
                const own = chosen.length === 0 ? all : chosen;
                const next = event.currentTarget.checked
                  ? all.filter((one) => one === sheet || own.includes(one))
                  : own.filter((one) => one !== sheet);
                set({ sheets: next.length === all.length ? [] : next });
              }}
            />{' '}
            {title}
          </label>
        ))}
      </fieldset>
      <fieldset>
        <legend>Deadline and lateness</legend>
        <div class="row">
          <MomentField
            label="deadline"
            value={now.deadline}
            onChange={(deadline) => set({ deadline })}
          />
          <label>
            <span class="named">time zone</span>
            <input
              list="zones"
              autoComplete="off"
              spellcheck={false}
              value={now.zone}
              onInput={(event) => set({ zone: event.currentTarget.value })}
            />
          </label>
          <datalist id="zones">
            {zones.map((zone) => (
              <option key={zone} value={zone} />
            ))}
          </datalist>
          <label>
            <span class="named">each started day costs</span>
            <input
              class="short"
              type="number"
              min="0"
              max="100"
              step="any"
              value={now.late}
              onInput={(event) => set({ late: Number(event.currentTarget.value) })}
            />{' '}
            %
          </label>
        </div>
        <Rounds again={now.again} onChange={(again) => set({ again })} />
        <p class="rule-said" role="status">
          {previewOf(now)}
        </p>
        <div class="row">
          <label>
            <span class="named">of several returns counts</span>
            <select
              value={now.again.length > 0 ? 'best' : now.count}
              disabled={now.again.length > 0}
              onChange={(event) => set({ count: event.currentTarget.value as ClassTold['count'] })}
            >
              <option value="latest">the latest</option>
              <option value="best">the best</option>
            </select>
          </label>
          <label>
            <span class="named">model answers with each student’s own numbers</span>
            <select
              value={now.solutions}
              onChange={(event) =>
                set({ solutions: event.currentTarget.value as ClassTold['solutions'] })
              }
            >
              <option value="none">are not given</option>
              <option value="after">when nobody can hand in any more</option>
              <option value="now">from the next run on</option>
            </select>
          </label>
        </div>
        <label class="tick">
          <input
            type="checkbox"
            checked={now.believeTimes}
            onChange={(event) => set({ believeTimes: event.currentTarget.checked })}
          />{' '}
          deduct also where the time is in doubt
        </label>
        <label class="tick">
          <input
            type="checkbox"
            checked={now.groups}
            onChange={(event) => set({ groups: event.currentTarget.checked })}
          />{' '}
          numbers joined by + in a file’s name are a group: 204117+300007.ipynb
        </label>
      </fieldset>
      <p class="row">
        <button type="button" disabled={!isChanged} onClick={() => void onKeep()}>
          Keep these settings
        </button>
        {isChanged && <span class="soft">Not kept yet; Run keeps them as well.</span>}
      </p>
      <Granted folder={folder} came={came} onCame={onCame} />
    </div>
  );
}

/** What the rule comes to, or what is still wrong with it. */
function previewOf({
  deadline,
  zone,
  late,
  again,
}: Pick<ClassTold, 'deadline' | 'zone' | 'late' | 'again'>): string {
  if (knownZone(zone) === undefined) return `There is no time zone “${zone}”.`;
  if (deadline === '') return lateSaid(undefined, zone);
  const due = readMoment(deadline, zone);
  if (!due) return `“${deadline}” is no day and time.`;
  const rounds = again.map(({ until, cap }) => ({
    until: readMoment(until, zone)?.time ?? Number.NaN,
    cap: cap / 100,
  }));
  if (rounds.some(({ until, cap }) => Number.isNaN(until) || !(cap >= 0 && cap <= 1)))
    return 'A round needs a day, and a percentage from 0 to 100.';
  const ends = [due.time, ...rounds.map(({ until }) => until)];
  if (ends.some((end, i) => i > 0 && end <= ends[i - 1]))
    return 'Each round must end later than the one before it.';
  const rule: LateRule = { deadline: due.time, perDay: late / 100, again: rounds };
  return lateSaid(rule, zone);
}

interface MomentProps {
  label: string;
  /** As `readMoment` takes it; '' for none. */
  value: string;
  onChange: (value: string) => void;
}

/** A day and, where wanted, a clock time. What has a zone of its own is left as it was typed. */
function MomentField({ label, value, onChange }: MomentProps) {
  const [, day = '', clock = ''] =
    /^(\d{4}-\d\d-\d\d)?(?:[T ](\d\d:\d\d)(?::00)?)?$/.exec(value.trim()) ?? [];
  const isPlain = value === '' || day !== '';
  if (!isPlain)
    return (
      <label>
        <span class="named">{label}</span>
        <input
          autoComplete="off"
          value={value}
          onInput={(event) => onChange(event.currentTarget.value)}
        />
      </label>
    );
  const say = (on: string, at: string) => onChange(on === '' ? '' : at === '' ? on : `${on}T${at}`);
  return (
    <>
      <label>
        <span class="named">{label}: day</span>
        <input type="date" value={day} onInput={(event) => say(event.currentTarget.value, clock)} />
      </label>
      <label>
        <span class="named">{label}: clock, or its end</span>
        <input
          type="time"
          value={clock}
          disabled={day === ''}
          onInput={(event) => say(day, event.currentTarget.value)}
        />
      </label>
    </>
  );
}

interface RoundsProps {
  again: ClassTold['again'];
  onChange: (again: ClassTold['again']) => void;
}

function Rounds({ again, onChange }: RoundsProps) {
  const put = (at: number, part: Partial<ClassTold['again'][number]>) =>
    onChange(again.map((one, i) => (i === at ? { ...one, ...part } : one)));
  return (
    <>
      {again.map(({ until, cap }, i) => (
        <div key={i} class="row">
          <MomentField
            label={`round ${i + 2} until`}
            value={until}
            onChange={(said) => put(i, { until: said })}
          />
          <label>
            <span class="named">counts at most</span>
            <input
              class="short"
              type="number"
              min="0"
              max="100"
              step="any"
              value={cap}
              onInput={(event) => put(i, { cap: Number(event.currentTarget.value) })}
            />{' '}
            %
          </label>
          <button
            type="button"
            class="quiet"
            onClick={() => onChange(again.filter((_, other) => other !== i))}
          >
            Without round {i + 2}
          </button>
        </div>
      ))}
      <button
        type="button"
        class="quiet"
        onClick={() => onChange([...again, { until: '', cap: 80 }])}
      >
        A round to hand in again
      </button>
    </>
  );
}

interface GrantedProps {
  folder: string;
  came: WhatCameIn;
  onCame: (came: WhatCameIn) => void;
}

/** Days that were granted to a person or for a sheet. */
function Granted({ folder, came, onCame }: GrantedProps) {
  const { extra, sheets, problem } = came.setUp;
  const [line, setLine] = useState({ student: '', sheet: '', days: '', reason: '' });
  const [fault, setFault] = useState('');
  useEffect(() => setFault(''), [extra]);
  const title = (name: string) => sheets.find(({ sheet }) => sheet === name)?.title ?? name;
  const grant = async (what: Parameters<typeof ask.grant>[1]) => {
    try {
      onCame(await ask.grant(folder, what));
      setLine({ student: '', sheet: '', days: '', reason: '' });
    } catch (error) {
      setFault((error as Error).message);
    }
  };
  return (
    <fieldset>
      <legend>Extra days</legend>
      <p class="soft">
        A sheet’s days are everybody’s; a person’s come on top of them. Kept at once; the next run
        goes by them.
      </p>
      {problem && (
        <p class="fault" role="alert">
          {problem}
        </p>
      )}
      {extra.length > 0 && (
        <ul class="granted">
          {extra.map(({ student, sheet, days, reason }) => (
            <li key={`${student} ${sheet}`}>
              {student || 'everybody'}, {sheet ? title(sheet) : 'all sheets'}: {days}{' '}
              {days === 1 ? 'day' : 'days'}. {reason}{' '}
              <button
                type="button"
                class="quiet"
                onClick={() => void grant({ student, sheet, days: null, reason })}
              >
                Take back
                <span class="aloud">
                  {' '}
                  the days of {student || 'everybody'} for {sheet ? title(sheet) : 'all sheets'}
                </span>
              </button>
            </li>
          ))}
        </ul>
      )}
      <div class="say">
        <label>
          <span class="named">student, or empty for all</span>
          <input
            list="students"
            autoComplete="off"
            value={line.student}
            onInput={(event) => setLine({ ...line, student: event.currentTarget.value })}
          />
        </label>
        <label>
          <span class="named">sheet of the days</span>
          <select
            value={line.sheet}
            onChange={(event) => setLine({ ...line, sheet: event.currentTarget.value })}
          >
            <option value="">all sheets</option>
            {sheets.map(({ sheet, title: said }) => (
              <option key={sheet} value={sheet}>
                {said}
              </option>
            ))}
          </select>
        </label>
        <label>
          <span class="named">days</span>
          <input
            class="short"
            inputMode="decimal"
            value={line.days}
            onInput={(event) => setLine({ ...line, days: event.currentTarget.value })}
          />
        </label>
        <label class="why">
          <span class="named">reason for the days</span>
          <input
            autoComplete="off"
            maxLength={2000}
            value={line.reason}
            onInput={(event) => setLine({ ...line, reason: event.currentTarget.value })}
          />
        </label>
        <button
          type="button"
          onClick={() => {
            const days = Number(line.days.replace(',', '.'));
            if (line.days.trim() === '' || !(days >= 0)) setFault('Say how many days.');
            else void grant({ ...line, student: line.student.trim(), days });
          }}
        >
          Grant
        </button>
        <p class="fault" role="alert">
          {fault}
        </p>
      </div>
    </fieldset>
  );
}
