import { render } from 'preact';
import { useEffect, useId, useMemo, useState } from 'preact/hooks';
import { startSetting } from '../../figures/bench/setting';
import { packPainted, type Shown, type ToPhone } from '../../travels/room-talk';
import { Store, useStore } from '../store';
import { freshName, keepTabWord, lastingWords, tabWord } from '../tab';
import { Bench } from './bench';
import { BenchModel, showAddress } from './bench-model';
import { AnswerForm } from './covered-film';
import { Expected } from './walk';

/** How the line to the room stands. */
type Standing = 'coming' | 'here' | 'lost' | 'ended' | 'wrong code' | 'full' | 'too much';

/** By the codes with which a room closes a line; see desk/room.ts. */
const standings: Readonly<Record<number, Standing>> = {
  4404: 'ended',
  4403: 'wrong code',
  4429: 'too much',
  4503: 'full',
};

/** Longest between two beats of the room, and some more, ms. */
const SILENCE = 40_000;
/** Until a lost line is tried again: at first, and at most, ms. */
const [SOON, LATE] = [500, 8000];
/** From the last touch of the brush until it is sent, ms. */
const SETTLED = 300;

/** This device's own word, by which it answers once; nobody can tell from it whose it is. */
function deviceWord(): string {
  const name = 'multislit-device';
  const word = lastingWords()?.getItem(name) ?? tabWord(name) ?? freshName();
  lastingWords()?.setItem(name, word);
  keepTabWord(name, word);
  return word;
}

/** A phone's line to the room: brings what is shown, takes answers, and comes back by itself. */
class RoomLine {
  readonly standing = new Store<Standing>('coming');
  readonly shown = new Store<Extract<ToPhone, { shown: unknown }> | undefined>(undefined);
  /** The step to which an answer of this device has come in. */
  readonly taken = new Store('');
  private line: WebSocket | undefined;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private silence: ReturnType<typeof setTimeout> | undefined;
  private wait = SOON;
  private code = '';
  /** An answer that waits for the line. */
  private waiting: string | undefined;

  constructor(private readonly device: string) {
    addEventListener('online', () => this.hurry());
    document.addEventListener('visibilitychange', () => {
      if (document.visibilityState === 'visible') this.hurry();
    });
  }

  come(code: string): void {
    this.code = code;
    this.connect();
  }

  answer(step: string, expects: string | number): void {
    this.taken.set('');
    this.waiting = JSON.stringify({ step, expects });
    this.send();
  }

  private send(): void {
    if (this.waiting && this.line?.readyState === WebSocket.OPEN) this.line.send(this.waiting);
  }

  private hurry(): void {
    if (this.standing.value === 'lost') this.connect();
  }

  private connect(): void {
    clearTimeout(this.timer);
    const before = this.line;
    this.line = undefined;
    before?.close();
    const words = new URLSearchParams({ code: this.code, device: this.device });
    const line = new WebSocket(`ws://${location.host}/line?${words}`);
    this.line = line;
    line.addEventListener('message', ({ data }) => {
      if (this.line !== line) return;
      this.wait = SOON;
      this.listen();
      this.hear(JSON.parse(data) as ToPhone);
    });
    line.addEventListener('close', ({ code }) => {
      if (this.line === line) this.lost(code);
    });
  }

  private hear(words: ToPhone): void {
    if ('shown' in words) {
      const isNew = this.standing.value !== 'here';
      this.standing.set('here');
      this.shown.set(words);
      if (isNew) this.send();
    } else if ('taken' in words) {
      this.waiting = undefined;
      this.taken.set(words.taken);
    }
  }

  /** A line that says nothing for long is given up. */
  private listen(): void {
    clearTimeout(this.silence);
    this.silence = setTimeout(() => {
      this.line = undefined;
      this.lost(0);
    }, SILENCE);
  }

  private lost(code: number): void {
    clearTimeout(this.silence);
    const standing = standings[code] ?? 'lost';
    this.standing.set(standing);
    if (standing === 'wrong code') keepTabWord(codeWord, null);
    if (standing !== 'lost' && standing !== 'full') return;
    // Not all at once, when a room comes back.
    this.timer = setTimeout(() => this.connect(), this.wait * (0.5 + Math.random()));
    this.wait = Math.min(LATE, 2 * this.wait);
  }
}

const codeWord = 'multislit-code';
const nextFrame = (draw: () => void) => void requestAnimationFrame(draw);

const sentences: Readonly<Record<Exclude<Standing, 'here'>, string>> = {
  coming: 'Coming into the room …',
  lost: 'The line to the room is lost. It is tried again by itself; the bench goes on working.',
  ended: 'The room was closed. The bench goes on working here.',
  'wrong code': 'That is not the code of this room: type the one that stands on the screen.',
  full: 'The room is full. It is tried again by itself.',
  'too much': 'The room has closed the line, because more came from here than from a phone.',
};

function CodeForm({ line }: { line: RoomLine }) {
  const [code, setCode] = useState('');
  const standing = useStore(line.standing);
  const id = useId();
  return (
    <form
      class="code-form"
      onSubmit={(event) => {
        event.preventDefault();
        if (code.trim() === '') return;
        keepTabWord(codeWord, code);
        line.come(code);
      }}
    >
      <h1>Live bench</h1>
      <label for={id}>The code that stands on the screen</label>
      <input
        id={id}
        autoComplete="off"
        autoCapitalize="characters"
        spellcheck={false}
        placeholder="WORD 00"
        value={code}
        onInput={(event) => setCode(event.currentTarget.value)}
      />
      <button type="submit" class="main">
        Come in
      </button>
      {standing !== 'coming' && standing !== 'here' && <p role="alert">{sentences[standing]}</p>}
    </form>
  );
}

/** What is asked, as long as the film is covered. */
function Question({ line, shown, of }: { line: RoomLine; shown: Shown; of: Expected }) {
  const taken = useStore(line.taken);
  const [given, setGiven] = useState<{ step: string; answer: number | string }>();
  const { step, asks } = shown;
  const answer = (value: number | string) => {
    setGiven({ step, answer: value });
    line.answer(step, value);
  };
  useEffect(() => {
    if (asks?.kind !== 'paint') return;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const stop = of.expected.subscribe(() => {
      clearTimeout(timer);
      timer = setTimeout(() => line.answer(step, packPainted(of.expected.value)), SETTLED);
    });
    return () => {
      clearTimeout(timer);
      stop();
    };
  }, [of, step, asks?.kind]);
  if (!asks) return null;
  return (
    <section class="covered" aria-label="What is expected">
      <AnswerForm
        asks={asks}
        of={of}
        given={given?.step === step ? given.answer : undefined}
        onAnswer={answer}
      />
      <p role="status" class="taken">
        {taken === step && 'It has come in. You may change it until the film is shown.'}
      </p>
    </section>
  );
}

/** The bench on a phone: it follows the lecturer's, or goes its own way and comes back. */
function PhonePage({ line }: { line: RoomLine }) {
  const model = useMemo(() => new BenchModel(startSetting, nextFrame), []);
  const all = useMemo(() => new Expected(), []);
  const standing = useStore(line.standing);
  const told = useStore(line.shown);
  const [follows, setFollows] = useState(true);
  const shown = told?.shown;
  const own = useMemo(() => new Expected(), [shown?.step]);
  const isCovered = shown !== undefined && shown.bench === undefined;

  useEffect(() => {
    if (follows && shown?.bench !== undefined) showAddress(model, shown.bench, shown.place);
  }, [follows, told]);
  useEffect(() => {
    all.wipe();
    if (told?.gathered && shown?.asks) all.gathered(told.gathered, shown.asks);
  }, [told?.gathered && shown?.step, isCovered]);

  if (!told) {
    if (standing === 'coming' && tabWord(codeWord)) return <p class="plain">{sentences.coming}</p>;
    if (standing === 'coming' || standing === 'wrong code') return <CodeForm line={line} />;
    if (standing !== 'here')
      return (
        <p class="plain" role="status">
          {sentences[standing]}
        </p>
      );
  }
  return (
    <div
      class="bench"
      data-room={follows && shown?.dark ? 'dark' : 'light'}
      data-view="phone"
      data-follows={follows || isCovered}
    >
      <header class="phone-bar">
        <h1>Live bench</h1>
        {standing === 'here' ? (
          <span role="status">{follows ? 'following' : 'on your own'}</span>
        ) : (
          <span role="alert">{sentences[standing]}</span>
        )}
        {!isCovered && (
          <button type="button" class="main" onClick={() => setFollows(!follows)}>
            {follows ? 'Try it yourself' : 'Back to the lecturer'}
          </button>
        )}
      </header>
      {shown?.title && (follows || isCovered) && (
        <section class="steps" aria-label="What it is about">
          <p aria-live="polite">
            <b>{shown.title}.</b> {shown.text}
          </p>
        </section>
      )}
      <main class="bench-table">
        {isCovered ? (
          <Question line={line} shown={shown} of={own} />
        ) : (
          <Bench
            model={model}
            expected={
              follows && shown?.asks ? { of: all, asks: shown.asks, at: shown.at } : undefined
            }
          />
        )}
      </main>
    </div>
  );
}

const line = new RoomLine(deviceWord());
const inLink = location.hash.slice(1);
if (inLink) {
  keepTabWord(codeWord, decodeURIComponent(inLink));
  // The code does not stay in the address line, to be sent on by mistake.
  history.replaceState(null, '', location.pathname);
}
const code = tabWord(codeWord);
if (code) line.come(code);
const app = document.getElementById('app');
if (app) render(<PhonePage line={line} />, app);
