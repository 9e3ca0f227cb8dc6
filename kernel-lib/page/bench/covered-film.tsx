import { useEffect, useId, useRef, useState } from 'preact/hooks';
import type { BenchSetting } from '../../figures/bench/setting';
import { formatNumber } from '../../quantity/format-number';
import { type Asking, PARTS } from '../../travels/room-talk';
import { useStore } from '../store';
import type { BenchModel } from './bench-model';
import { shareOfHeight } from './draw-curve';
import type { Expected, Walk } from './walk';

/** What a lecturer's page says of a room while it waits for answers. */
export interface Answering {
  readonly people: number;
  readonly answers: number;
}

/** The film of a step while it is covered: what each expects, or what a show of hands says. */
export function Covered({ walk, answering }: { walk: Walk; answering?: Answering }) {
  const place = useStore(walk.place);
  const step = place && walk.steps.value[place.step];
  if (!step) return null;
  const { asks } = step;
  return (
    <section class="covered" aria-label="What is expected">
      {asks.kind === 'paint' ? (
        <EmptyFilm of={walk} />
      ) : (
        <ByHand key={place.step} walk={walk} asks={asks} />
      )}
      {answering && (
        <p class="answering" role="status">
          {answering.answers} of {answering.people} have answered; what they said is hidden until
          the film is shown.
        </p>
      )}
    </section>
  );
}

const unitOf = (asks: Asking): string =>
  asks.kind === 'number' ? { '': '', mm: ' mm', '′': '′', '×': ' times' }[asks.counts] : '';

/** A number or a word with its unit, as it is read. */
const answerWords = (answer: number | string, asks: Asking): string =>
  typeof answer === 'number' ? formatNumber(answer) + unitOf(asks) : answer;

/** Hands that were counted, or one person's own answer. */
function ByHand({ walk, asks }: { walk: Walk; asks: Asking }) {
  const said = useStore(walk.said);
  const count = new Map(said);
  const offered = asks.kind === 'word' ? asks.words : said.map(([answer]) => answer);
  return (
    <div class="by-hand">
      {asks.kind === 'number' && (
        <NumberForm asks={asks} act="Add" onNumber={(value) => walk.say(value, asks)} />
      )}
      <ul>
        {offered.map((answer) => {
          const words = answerWords(answer, asks);
          const people = count.get(answer) ?? 0;
          return (
            <li key={answer}>
              <button type="button" onClick={() => walk.say(answer, asks)}>
                {words}
              </button>
              <output>{people || ''}</output>
              {people > 0 && (
                <button
                  type="button"
                  class="quiet"
                  aria-label={`One less: ${words}`}
                  onClick={() => walk.say(answer, asks, -1)}
                >
                  −
                </button>
              )}
            </li>
          );
        })}
      </ul>
      <p>The film is covered. Choose what you expect; with a class, once for each hand.</p>
    </div>
  );
}

/** A number from what was typed, with a point or a comma; undefined where it is none. */
const numberOf = (text: string): number | undefined => {
  const plain = text.trim().replace('−', '-').replace(',', '.');
  const value = Number(plain);
  return plain !== '' && Math.abs(value) < 1e9 ? value : undefined;
};

function NumberForm({
  asks,
  act,
  onNumber,
}: {
  asks: Asking;
  act: string;
  onNumber: (value: number) => void;
}) {
  const [text, setText] = useState('');
  const [isWrong, setWrong] = useState(false);
  const id = useId();
  const take = (event: Event) => {
    event.preventDefault();
    const value = numberOf(text);
    setWrong(value === undefined);
    if (value === undefined) return;
    setText('');
    onNumber(value);
  };
  return (
    <form class="number-form" onSubmit={take} noValidate>
      <label for={id}>The number that you expect</label>
      <input
        id={id}
        type="text"
        inputMode="decimal"
        autoComplete="off"
        value={text}
        aria-invalid={isWrong}
        onInput={(event) => setText(event.currentTarget.value)}
      />
      <span>{unitOf(asks)}</span>
      <button type="submit">{act}</button>
      {isWrong && <p role="alert">That is not a number: type one such as 6 or 0.5.</p>}
    </form>
  );
}

/** One person's answer, on a phone. */
export function AnswerForm({
  asks,
  of,
  given,
  onAnswer,
}: {
  asks: Asking;
  of: Expected;
  given: number | string | undefined;
  onAnswer: (answer: number | string) => void;
}) {
  if (asks.kind === 'paint') return <EmptyFilm of={of} />;
  if (asks.kind === 'word')
    return (
      <ul class="words">
        {asks.words.map((word) => (
          <li key={word}>
            <button type="button" aria-pressed={given === word} onClick={() => onAnswer(word)}>
              {word}
            </button>
          </li>
        ))}
      </ul>
    );
  return (
    <>
      <NumberForm asks={asks} act="Send" onNumber={onAnswer} />
      {given !== undefined && <p>You said {answerWords(given, asks)}.</p>}
    </>
  );
}

/** An empty film: light is painted on it where it is expected. */
function EmptyFilm({ of }: { of: Expected }) {
  const strip = useRef<HTMLDivElement>(null);
  const place = useRef(0.5);
  const brush = useRef<HTMLSpanElement>(null);
  const isEmpty = useStore(of.expected).every((value) => value === 0);

  const move = (share: number) => {
    place.current = Math.min(1, Math.max(0, share));
    brush.current?.style.setProperty('left', `${place.current * 100}%`);
    strip.current?.setAttribute('aria-valuenow', String(Math.round(place.current * 100)));
  };
  const touch = (event: PointerEvent) => {
    if (!strip.current || event.buttons === 0) return;
    const { left, width } = strip.current.getBoundingClientRect();
    move((event.clientX - left) / width);
    of.paint(place.current, event.type === 'pointerdown' ? 0.5 : 0.15);
  };
  const keys = (event: KeyboardEvent) => {
    const step = event.shiftKey ? 0.05 : 0.01;
    if (event.key === 'ArrowLeft') move(place.current - step);
    else if (event.key === 'ArrowRight') move(place.current + step);
    else if (event.key === 'Home') move(0.5);
    else if (event.key === ' ') of.paint(place.current);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };

  return (
    <>
      <div
        ref={strip}
        class="empty-film"
        role="slider"
        tabIndex={0}
        aria-label="Empty film. Arrow keys move the brush, with Shift faster; the space bar paints light where it is."
        aria-valuemin={0}
        aria-valuemax={100}
        aria-valuenow={50}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          touch(event);
        }}
        onPointerMove={touch}
        onKeyDown={keys}
      >
        <ExpectedFilm of={of} />
        <span ref={brush} class="brush" style={{ left: '50%' }} />
      </div>
      <p>
        The film is covered. Paint on it where you expect light, and how much.{' '}
        <button type="button" class="quiet" disabled={isEmpty} onClick={() => of.wipe()}>
          Wipe it clean
        </button>
      </p>
    </>
  );
}

/** What was painted, above the film that is then shown. */
export function WasExpected({ of }: { of: Expected }) {
  const isEmpty = useStore(of.expected).every((value) => value === 0);
  const painters = useStore(of.painters);
  if (isEmpty) return null;
  return (
    <div class="was-expected" role="img" aria-label="What was expected, above what the film shows">
      <ExpectedFilm of={of} />
      <span>{painters > 1 ? `where ${painters} expected light` : 'expected'}</span>
    </div>
  );
}

function ExpectedFilm({ of }: { of: Expected }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const draw = () => {
      const context = canvas.current?.getContext('2d');
      if (!context) return;
      const row = context.createImageData(PARTS, 1);
      of.expected.value.forEach((value, i) => {
        row.data.set([236, 226, 198, Math.round(255 * value)], 4 * i);
      });
      context.putImageData(row, 0, 0);
    };
    draw();
    return of.expected.subscribe(draw);
  }, [of]);
  return <canvas ref={canvas} width={PARTS} height={1} />;
}

/** More answers than this hide the curve that they are laid on. */
const MOST_MARKS = 6;

/**
 * Numbers and words that were expected, as marks on the curve: a place on the film at the place, a brightness at its
 * height, all else at the places that the step asks about.
 */
export function AnswerMarks({
  model,
  of,
  asks,
  at = 0,
}: {
  model: BenchModel;
  of: Expected;
  asks: Asking;
  /** Direction sine of the places that are asked about. */
  at?: number;
}) {
  const said = useStore(of.said);
  const pattern = useStore(model.pattern);
  if (said.length === 0) return null;
  const { setting } = pattern;
  const most = [...said].sort(([, one], [, other]) => other - one).slice(0, MOST_MARKS);
  const shown = said.filter((one) => most.includes(one));
  const counts = asks.kind === 'number' ? asks.counts : '';
  const heightAt = (share: number) => {
    const { values } = pattern.brightness;
    const near = Math.round(Math.min(1, Math.max(0, share)) * (values.length - 1));
    return shareOfHeight(pattern, values[near]);
  };
  const on = (share: number) => ({ '--x': String(share), '--y': String(heightAt(share)) });
  const places = (answer: number | string): number[] => {
    if (counts !== 'mm' && counts !== '′') return [];
    const far = counts === 'mm' ? Number(answer) * 1e-3 : placeOf(setting, sineOf(Number(answer)));
    return [far / setting.span + 0.5].filter((share) => share >= 0 && share <= 1);
  };
  const far = placeOf(setting, at);
  const asked = [...new Set([far, -far])].map((one) => one / setting.span + 0.5);
  const isTold = counts === '' || counts === '×';
  return (
    <div class="answer-marks" data-counts={counts || 'words'}>
      {counts === '' &&
        asked
          .filter((share) => share >= 0 && share <= 1)
          .map((share) => <i key={share} class="mark" style={on(share)} />)}
      <ul class={counts === '' ? 'told-all' : undefined}>
        {shown.map(([answer, people], i) => {
          const words = saidWords(answer, people, asks);
          if (counts === '×') {
            const height = shareOfHeight(pattern, Number(answer), true);
            const style = { '--y': String(Math.min(1, Math.max(0, height))) };
            return (
              <li key={answer} class="at-height" data-side={i % 2 ? 'right' : 'left'} style={style}>
                {words}
                {height > 1 ? ' ↑' : ''}
              </li>
            );
          }
          if (isTold) return <li key={answer}>{words}</li>;
          const [share] = places(answer);
          return share === undefined ? (
            <li key={answer} class="off-film" style={{ '--row': String(i) }}>
              {words}, not on this film
            </li>
          ) : (
            <li key={answer} class="at-place" style={{ ...on(share), '--row': String(i % 3) }}>
              <i class="mark" />
              <span>{words}</span>
            </li>
          );
        })}
        {said.length > shown.length && counts === '' && (
          <li>and {said.length - shown.length} other answers</li>
        )}
      </ul>
    </div>
  );
}

const sineOf = (minutes: number) => Math.sin((minutes * Math.PI) / 180 / 60);

/** Where light of this direction sine falls on the film, at normal incidence, m. */
const placeOf = ({ focalLength }: BenchSetting, sine: number) =>
  focalLength * Math.tan(Math.asin(Math.min(1, Math.max(-1, sine))));

const saidWords = (answer: number | string, people: number, asks: Asking) => {
  const words = answerWords(answer, asks);
  return people === 1 ? `one said: ${words}` : `${people} said: ${words}`;
};

/** What was said, where there is no curve to mark it on. */
export function SaidInWords({ of, asks }: { of: Expected; asks: Asking }) {
  const said = useStore(of.said);
  if (said.length === 0) return null;
  return (
    <p class="said-in-words">
      {said.map(([answer, people]) => saidWords(answer, people, asks)).join(' · ')}
    </p>
  );
}
