import { useEffect, useId, useState } from 'preact/hooks';
import { encode } from 'uqr';
import type {
  FromLecturer,
  Gathered,
  OpenRoom,
  RoomAddress,
  Said,
  ToLecturer,
} from '../../travels/room-talk';
import { hrefOf, pageAddress } from '../address';
import { Store, useSettled, useStore } from '../store';
import { keepTabWord, lastingWords, tabWord } from '../tab';
import { type BenchModel, benchAddress } from './bench-model';
import type { Answering } from './covered-film';
import type { Walk } from './walk';

const here = '/desk/room';
const kept = 'multislit-room';
/** Until a lost line to the desk is tried again, ms. */
const AGAIN = 1000;

/** A room for an audience, as the page that holds it open knows it. */
export class HeldRoom {
  readonly room = new Store<OpenRoom | undefined>(undefined);
  readonly answering = new Store<Answering>({ people: 0, answers: 0 });
  /** Why there is none, or what is wrong with it, in a sentence. */
  readonly fault = new Store('');
  private line: WebSocket | undefined;
  private again: ReturnType<typeof setTimeout> | undefined;
  private isDue = false;
  private told = '';
  private isDark = false;
  /** Hands that were counted for a step before its room was heard. */
  private byHand: { readonly step: string; readonly said: Said } = { step: '', said: [] };
  private readonly stops: (() => void)[];

  constructor(
    private readonly model: BenchModel,
    private readonly walk: Walk,
  ) {
    const soon = () => this.tell();
    this.stops = [model.setting, model.pins, model.layers, model.place, walk.place, walk.steps].map(
      (store) => store.subscribe(soon),
    );
    const code = tabWord(kept);
    if (code) this.connect({ again: code });
  }

  /** The addresses of this machine; undefined where no desk can open a room. */
  async addresses(): Promise<readonly RoomAddress[] | undefined> {
    try {
      const answer = await fetch(here);
      return answer.ok ? ((await answer.json()) as RoomAddress[]) : undefined;
    } catch {
      return undefined;
    }
  }

  open(at: string): void {
    this.fault.set('');
    this.connect({ open: { at } });
  }

  close(): void {
    this.say({ end: true });
  }

  /** Darken the phones as well. */
  darken(isDark: boolean): void {
    this.isDark = isDark;
    this.tell();
  }

  /** The page is left. */
  end(): void {
    clearTimeout(this.again);
    for (const stop of this.stops) stop();
    this.line?.close();
    this.line = undefined;
  }

  private connect(first: FromLecturer): void {
    this.line?.close();
    const line = new WebSocket(`ws://${location.host}${here}/line`);
    this.line = line;
    line.addEventListener('open', () => this.say(first));
    line.addEventListener('message', ({ data }) => {
      if (this.line === line) this.hear(JSON.parse(data) as ToLecturer);
    });
    line.addEventListener('close', () => {
      if (this.line !== line) return;
      this.line = undefined;
      const code = this.room.value?.code ?? tabWord(kept);
      if (!code) return this.fault.set('The worksheets do not answer: start them again.');
      this.fault.set(
        'The worksheets do not answer. The room is looked for again; phones keep what they show.',
      );
      this.again = setTimeout(() => this.connect({ again: code }), AGAIN);
    });
  }

  private say(words: FromLecturer): void {
    if (this.line?.readyState === WebSocket.OPEN) this.line.send(JSON.stringify(words));
  }

  private hear(words: ToLecturer): void {
    if ('opened' in words) {
      keepTabWord(kept, words.opened.code);
      this.fault.set('');
      this.told = '';
      this.room.set(words.opened);
      this.tell();
    } else if ('people' in words) this.answering.set(words);
    else if ('gathered' in words) this.take(words.step, words.gathered);
    else {
      keepTabWord(kept, null);
      this.room.set(undefined);
      this.fault.set('refused' in words ? words.refused : '');
      const { line } = this;
      this.line = undefined;
      line?.close();
    }
  }

  private take(step: string, gathered: Gathered): void {
    const { walk } = this;
    const asks = walk.step?.asks;
    if (!asks || walk.shown('', 0, false).step !== step) return;
    if (this.byHand.step !== step) this.byHand = { step, said: walk.said.value };
    walk.gathered(gathered, asks, this.byHand.said);
  }

  /** Once for all that changes within a frame. */
  private tell(): void {
    if (this.isDue || !this.room.value) return;
    this.isDue = true;
    setTimeout(() => {
      this.isDue = false;
      const { model, walk } = this;
      const show = walk.shown(benchAddress(model), model.place.value, this.isDark);
      const words = JSON.stringify(show);
      if (words === this.told || this.line?.readyState !== WebSocket.OPEN) return;
      this.told = words;
      this.say({ show });
    }, 16);
  }
}

const joinAddress = ({ at, port }: OpenRoom) => `http://${at}:${port}/`;
const joinLink = (room: OpenRoom) => `${joinAddress(room)}#${room.code.replace(' ', '')}`;

/** A link as a square that phones read. */
function QrCode({ text, label }: { text: string; label: string }) {
  const { data, size } = encode(text, { ecc: 'M', border: 4 });
  const path = data
    .flatMap((row, y) => row.map((isDark, x) => (isDark ? `M${x} ${y}h1v1h-1z` : '')))
    .join('');
  return (
    <svg class="qr" viewBox={`0 0 ${size} ${size}`} role="img" aria-label={label}>
      <rect width={size} height={size} fill="#fff" />
      <path d={path} fill="#000" />
    </svg>
  );
}

/** In the foot line: how phones come here. */
export function JoinLine({ held, onLarge }: { held: HeldRoom; onLarge: () => void }) {
  const room = useStore(held.room);
  if (!room) return null;
  return (
    <button type="button" class="join act" onClick={onLarge} aria-keyshortcuts="Q">
      <QrCode text={joinLink(room)} label="Link to the room" />
      <span>
        {room.at}:{room.port} <b>{room.code}</b>
      </span>
    </button>
  );
}

/** Over all: the way into the room as large as the screen is. */
export function LargeJoin({ held, onClose }: { held: HeldRoom; onClose: () => void }) {
  const room = useStore(held.room);
  const { people } = useStore(held.answering);
  if (!room) return null;
  return (
    <section class="large-join" aria-label="The way into the room">
      <QrCode text={joinLink(room)} label="Link to the room" />
      <div>
        <p>
          <b>{joinAddress(room)}</b>
        </p>
        <p>
          Code <b>{room.code}</b>
        </p>
        <p>{people === 1 ? '1 phone is here.' : `${people} phones are here.`}</p>
        <button type="button" class="act" onClick={onClose} aria-keyshortcuts="Q">
          Back <kbd>Q</kbd>
        </button>
      </div>
    </section>
  );
}

const webPlace = 'multislit-web-bench';

/** The same bench on a site of the worksheets, as it is set now: for phones that cannot reach this machine. */
function OnTheWeb({ model }: { model: BenchModel }) {
  useSettled(model.setting, 300);
  useStore(model.pins);
  useStore(model.layers);
  const own = location.protocol === 'https:' ? pageAddress('/bench') : '';
  const [site, setSite] = useState(lastingWords()?.getItem(webPlace) ?? own);
  const id = useId();
  const isSite = /^https?:\/\/\S+$/.test(site);
  const place = site.includes('bench') ? site : `${site.replace(/\/?$/, '/')}?/bench`;
  const link = `${place.replace(/#.*$/, '')}#${benchAddress(model)}`;
  return (
    <details class="on-the-web">
      <summary>Phones cannot reach this machine?</summary>
      <p>
        Many a Wi-Fi keeps its devices apart. Then phones take the bench from a site of the
        worksheets (<code>multislit hand-out --web</code> makes one), as it is set here now; what
        they expect is counted by show of hands.
      </p>
      <p class="field">
        <label for={id}>Address of the site</label>
        <input
          id={id}
          type="url"
          placeholder="https://…"
          value={site}
          onInput={(event) => {
            setSite(event.currentTarget.value);
            lastingWords()?.setItem(webPlace, event.currentTarget.value);
          }}
        />
      </p>
      {isSite && (
        <>
          <QrCode text={link} label="Link to this bench on the site" />
          <p>
            <a href={link} target="_blank" rel="noopener noreferrer">
              This bench on the site
            </a>
          </p>
        </>
      )}
    </details>
  );
}

/** Opens a room, after it was said what leaves this machine, and closes it. */
export function RoomPanel({ held, model }: { held: HeldRoom; model: BenchModel }) {
  const room = useStore(held.room);
  const fault = useStore(held.fault);
  const { people, answers } = useStore(held.answering);
  const [addresses, setAddresses] = useState<readonly RoomAddress[] | 'asked'>('asked');
  const [at, setAt] = useState('');
  useEffect(() => {
    void held.addresses().then((found = []) => {
      setAddresses(found);
      setAt((chosen) => chosen || (found[0]?.at ?? ''));
    });
  }, [held]);
  return (
    <section class="room-panel" aria-labelledby="room-title">
      <h2 id="room-title">A room for the phones of a class</h2>
      {fault && (
        <p class="why" role="alert">
          {fault}
        </p>
      )}
      {room ? (
        <div class="room-open">
          <QrCode text={joinLink(room)} label="Link to the room" />
          <div>
            <p>
              Open at <b>{joinAddress(room)}</b>, code <b>{room.code}</b>.
            </p>
            <p role="status">
              {people === 1 ? '1 phone is here' : `${people} phones are here`}, {answers}{' '}
              {answers === 1 ? 'answer' : 'answers'} to this step.
            </p>
            <button type="button" onClick={() => held.close()}>
              Close the room
            </button>
          </div>
        </div>
      ) : (
        <>
          <p>
            Phones in the same network follow this bench and answer its steps, without a name. For
            that this machine opens a second way in, which ends with this page.
          </p>
          <p>
            <b>What leaves this machine:</b> the bench’s program, what the bench is set to, the
            place of the hairline, the question of the step, and after it was shown what all
            expected together.
          </p>
          <p>
            <b>What does not:</b> your worksheets, files, marks and their address, the settings of a
            step while its film is covered, and who expected what. Anybody in this network who has
            the code can look on; nothing is encrypted on the way.
          </p>
          {addresses === 'asked' ? (
            <p role="status">Looking for the addresses of this machine …</p>
          ) : addresses.length === 0 ? (
            <p>
              Here no room can be opened: that takes the instructor’s program, on a computer of your
              own.
            </p>
          ) : (
            <form
              onSubmit={(event) => {
                event.preventDefault();
                held.open(at);
              }}
            >
              <fieldset>
                <legend>Address</legend>
                {addresses.map((one) => (
                  <label key={one.at} class="tick">
                    <input
                      type="radio"
                      name="room-at"
                      checked={one.at === at}
                      onChange={() => setAt(one.at)}
                    />
                    {one.at} ({one.name}
                    {one.alone ? ', this machine alone, to try it' : ''})
                  </label>
                ))}
              </fieldset>
              <button type="submit" class="main">
                Open the room
              </button>
            </form>
          )}
        </>
      )}
      <OnTheWeb model={model} />
      <p class="note">
        More in <a href={hrefOf('/help')}>Help</a>.
      </p>
    </section>
  );
}
