import { useId, useRef, useState } from 'preact/hooks';
import type { Asking } from '../../travels/room-talk';
import { Store, useStore } from '../store';
import { lastingWords } from '../tab';
import { saveAs } from '../view/save-as';
import { type BenchModel, benchAddress } from './bench-model';
import { MOST_STEPS, packSteps, readSteps, type Step, steps, writeSteps } from './step-list';
import type { Walk } from './walk';

const kept = 'multislit-own-steps';

/** Steps that a lecturer wrote in this browser; none where they cannot be read any more. */
export function keptSteps(): Step[] {
  const text = lastingWords()?.getItem(kept);
  try {
    return text ? readSteps(text) : [];
  } catch {
    return [];
  }
}

/** A lecturer's own steps: each keeps all that stands on the bench, with the words that belong to it. */
export class OwnSteps {
  readonly list: Store<readonly Step[]>;

  /** @param begun those of a link */
  constructor(
    private readonly model: BenchModel,
    private readonly walk: Walk,
    begun: readonly Step[] = keptSteps(),
  ) {
    this.list = new Store(begun);
  }

  get areWalked(): boolean {
    return this.walk.steps.value !== steps;
  }

  set(list: readonly Step[]): void {
    const { walk } = this;
    const wereWalked = this.areWalked;
    this.list.set(list);
    lastingWords()?.setItem(kept, list.length > 0 ? writeSteps(list) : '');
    if (!wereWalked) return;
    const at = walk.place.value;
    if (list.length === 0) walk.take(steps);
    else if (at && !list[at.step]) walk.take(list);
    else walk.steps.set(list);
  }

  /** A step with the bench as it stands now; the hairline is where numbers and words are said of. */
  add(): void {
    const words = { title: `Step ${this.list.value.length + 1}`, ask: '', look: '', why: '' };
    this.set([...this.list.value, { ...words, asks: { kind: 'paint' }, ...this.now() }]);
  }

  now(): Pick<Step, 'setting' | 'isWhole' | 'at'> {
    const { value: setting } = this.model.setting;
    const at = Math.sin(Math.atan(this.model.place.value / setting.focalLength));
    return { setting, isWhole: true, at };
  }

  change(i: number, some: Partial<Step>): void {
    this.set(this.list.value.map((step, k) => (k === i ? { ...step, ...some } : step)));
  }

  remove(i: number): void {
    this.set(this.list.value.filter((_, k) => k !== i));
  }

  /** One place up, so that the one above comes after it. */
  lift(i: number): void {
    const list = [...this.list.value];
    [list[i - 1], list[i]] = [list[i], list[i - 1]];
    this.set(list);
  }
}

const kinds = [
  ['paint', 'painting on the empty film'],
  ['word', 'one of some words'],
  ['number ', 'a number'],
  ['number×', 'how many times as bright'],
  ['numbermm', 'a place on the film, mm'],
  ['number′', 'an angle, minutes of arc'],
] as const;

const kindOf = (asks: Asking): string =>
  asks.kind === 'number' ? `number${asks.counts || ' '}` : asks.kind;

function askingOf(kind: string, before: Asking): Asking {
  if (kind === 'paint') return { kind };
  if (kind === 'word')
    return { kind, words: before.kind === 'word' ? before.words : ['yes', 'no'] };
  return { kind: 'number', counts: kind.slice('number'.length).trim() as '' | 'mm' | '′' | '×' };
}

const texts = [
  ['title', 'Title', 80],
  ['ask', 'Question, before it is shown', 600],
  ['look', 'What to look for, when it is shown', 600],
  ['why', 'Why it is so', 600],
] as const;

function StepFields({ own, step, i }: { own: OwnSteps; step: Step; i: number }) {
  const id = useId();
  const { asks } = step;
  const [words, setWords] = useState(asks.kind === 'word' ? asks.words.join(', ') : '');
  const [fault, setFault] = useState('');
  const takeWords = (text: string) => {
    setWords(text);
    const offered = [...new Set(text.split(',').map((word) => word.trim()))].filter(Boolean);
    const isFine =
      offered.length >= 2 && offered.length <= 6 && offered.every((w) => w.length <= 40);
    setFault(
      isFine ? '' : 'Two to six words with commas between them, each of 40 letters at most.',
    );
    if (isFine) own.change(i, { asks: { kind: 'word', words: offered } });
  };
  return (
    <div class="step-fields">
      {texts.map(([name, label, longest]) => (
        <p key={name} class="field">
          <label for={`${id}-${name}`}>{label}</label>
          <textarea
            id={`${id}-${name}`}
            rows={name === 'title' ? 1 : 2}
            maxLength={longest}
            value={step[name]}
            onInput={(event) => own.change(i, { [name]: event.currentTarget.value })}
          />
        </p>
      ))}
      <p class="field">
        <label for={`${id}-kind`}>Answered by</label>
        <select
          id={`${id}-kind`}
          value={kindOf(asks)}
          onChange={(event) => {
            const next = askingOf(event.currentTarget.value, asks);
            if (next.kind === 'word') setWords(next.words.join(', '));
            own.change(i, { asks: next });
          }}
        >
          {kinds.map(([kind, label]) => (
            <option key={kind} value={kind}>
              {label}
            </option>
          ))}
        </select>
      </p>
      {asks.kind === 'word' && (
        <p class="field">
          <label for={`${id}-words`}>Words to choose from</label>
          <input
            id={`${id}-words`}
            type="text"
            value={words}
            aria-invalid={fault !== ''}
            onInput={(event) => takeWords(event.currentTarget.value)}
          />
          {fault && <span role="alert">{fault}</span>}
        </p>
      )}
      <p class="acts">
        <button type="button" onClick={() => own.change(i, own.now())}>
          Take the bench as it stands now
        </button>
        {i > 0 && (
          <button type="button" class="quiet" onClick={() => own.lift(i)}>
            Move up
          </button>
        )}
        <button type="button" class="quiet" onClick={() => own.remove(i)}>
          Take it out
        </button>
      </p>
    </div>
  );
}

/** Where a lecturer writes steps, and keeps them as a file or a link. */
export function OwnStepsView({
  own,
  walk,
  model,
  page,
}: {
  own: OwnSteps;
  walk: Walk;
  model: BenchModel;
  page: string;
}) {
  const list = useStore(own.list);
  const walked = useStore(walk.steps);
  const [said, setSaid] = useState('');
  const file = useRef<HTMLInputElement>(null);
  const areWalked = walked !== steps;
  const [isOpen, setOpen] = useState(areWalked);
  const link = () => `${page}#${benchAddress(model)}&steps=${packSteps(list)}`;
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(link());
      setSaid('The link is copied. It brings the steps with it, and asks no server for them.');
    } catch {
      setSaid('The browser does not let the page copy: save the steps as a file.');
    }
  };
  const open = async (chosen: File | undefined) => {
    if (!chosen) return;
    try {
      own.set(readSteps(await chosen.text()));
      setSaid('The steps of the file are here.');
    } catch (error) {
      setSaid(`${(error as Error).message} What was here is as it was.`);
    }
  };
  return (
    <details
      class="own-steps"
      open={isOpen}
      onToggle={(event) => setOpen(event.currentTarget.open)}
    >
      <summary>Steps of your own</summary>
      {isOpen && (
        <>
          <p class="note">
            A step keeps all that stands on the bench, with the lenses and the film of your room.
            Numbers and words are said of the place where the hairline stood.
          </p>
          <ol>
            {list.map((step, i) => (
              <li key={i}>
                <details>
                  <summary>{step.title || 'without a title'}</summary>
                  <StepFields own={own} step={step} i={i} />
                </details>
              </li>
            ))}
          </ol>
          <p class="acts">
            <button type="button" disabled={list.length >= MOST_STEPS} onClick={() => own.add()}>
              New step, with the bench as it stands
            </button>
            {list.length > 0 && (
              <button type="button" onClick={() => walk.take(areWalked ? steps : list)}>
                {areWalked ? `Go through the ${steps.length} of the bench` : 'Go through these'}
              </button>
            )}
            <button type="button" onClick={() => file.current?.click()}>
              Open a file of steps
            </button>
            {list.length > 0 && (
              <>
                <button
                  type="button"
                  onClick={() => saveAs({ name: 'bench-steps.json', content: writeSteps(list) })}
                >
                  Save as a file
                </button>
                <button type="button" onClick={copy}>
                  Copy a link
                </button>
              </>
            )}
            <input
              ref={file}
              type="file"
              accept=".json"
              hidden
              aria-label="A file of steps"
              onChange={(event) => {
                void open(event.currentTarget.files?.[0]);
                event.currentTarget.value = '';
              }}
            />
          </p>
          <p role="status">{said}</p>
        </>
      )}
    </details>
  );
}
