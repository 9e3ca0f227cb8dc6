import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { readAddress } from '../../figures/bench/address';
import { layerNames, readLayers } from '../../figures/bench/layers';
import { startSetting } from '../../figures/bench/setting';
import { hrefOf, pageAddress } from '../address';
import type { Host } from '../net/host';
import { Store, useStore, useValue } from '../store';
import { keepTabWord, tabWord } from '../tab';
import { Bench } from './bench';
import { BenchModel, benchAddress } from './bench-model';
import { ClassFoot } from './class-foot';
import { useClassKeys } from './class-keys';
import { grow } from './layers';
import { OwnSteps, OwnStepsView } from './own-steps';
import { Planning } from './plan';
import { canHaveSecond, follow, followed, Steering } from './second-window';
import { Slides, savePicture } from './slides';
import { packSteps, type Step, steps, unpackSteps } from './step-list';
import { readWalk, Walk, walkPart } from './walk';
import { WillShow } from './will-show';

const nextFrame = (draw: () => void) => void requestAnimationFrame(draw);

/** What a class sees below the curve. */
const thirds = ['arrows', 'paths', 'colour', 'drawing', 'nothing'] as const;
type Third = (typeof thirds)[number];

/** How the page is laid out: as a bench to work at, or for a class that looks on. */
interface Look {
  readonly forClass: boolean;
  readonly dark: boolean;
  readonly third: Third;
  /** Whether the controls have been called while a class looks on. */
  readonly controls: boolean;
}

/** The steps that this tab goes through, where they are not those of the program. */
const walkedWord = 'multislit-walked-steps';

/** Steps out of a link, or those that the tab had before it was loaded anew. */
function ownSteps(packed: string | undefined, faults: string[]): Step[] | undefined {
  const word = packed ?? tabWord(walkedWord);
  try {
    return word ? unpackSteps(word) : undefined;
  } catch (error) {
    faults.push((error as Error).message);
    return undefined;
  }
}

function begin(isSecond: boolean) {
  const { place, packed, rest } = readWalk(location.hash === '#bench' ? '' : location.hash);
  const { layers, faults: unknown, rest: named } = readLayers(rest);
  const { setting, pins, faults } = readAddress(named);
  const said: string[] = [...faults, ...unknown];
  const brought = isSecond ? undefined : ownSteps(packed, said);
  const model = new BenchModel(setting, nextFrame, undefined, layers);
  model.pin(pins);
  const walk = new Walk(model, place, brought);
  return {
    model,
    walk,
    faults: said as readonly string[],
    own: new OwnSteps(model, walk, brought),
  };
}

/** The live bench as a page of its own; the address carries the setting and the step. */
export function BenchPage({ room }: { room?: Host['room'] }) {
  const box = useRef<HTMLDivElement>(null);
  const id = followed();
  const [{ model, walk, own, faults: first }] = useState(() => begin(id !== undefined));
  const [faults, setFaults] = useState(first);
  const [look, setLook] = useState<Look>({
    forClass: id !== undefined,
    dark: false,
    third: 'arrows',
    controls: false,
  });
  const change = (some: Partial<Look>) => setLook((before) => ({ ...before, ...some }));
  const [blocked, setBlocked] = useState(false);
  const [panel, setPanel] = useState(false);
  const [isLarge, setLarge] = useState(false);
  const [parts, setParts] = useState<Awaited<ReturnType<NonNullable<Host['room']>>>>();
  useEffect(() => {
    // A second window shows the first one's bench; the room is the first one's.
    if (id === undefined) void room?.().then(setParts, () => {});
  }, [room, id]);
  const held = useMemo(() => parts && new parts.HeldRoom(model, walk), [parts, model, walk]);
  useEffect(() => () => held?.end(), [held]);
  useEffect(() => held?.darken(look.dark), [held, look.dark]);
  const answering = useStore(held?.answering ?? noAnswers);
  const isOpen = useStore(held?.room ?? noRoom) !== undefined;
  const second = useRef<Steering>();

  useEffect(() => {
    document.title = 'Live bench · Worksheets';
  }, []);
  useEffect(() => keepAddress(model, walk, setFaults), [model, walk]);
  useEffect(() => {
    const changed = () => {
      if (!document.fullscreenElement) change({ forClass: id !== undefined, controls: false });
    };
    document.addEventListener('fullscreenchange', changed);
    return () => document.removeEventListener('fullscreenchange', changed);
  }, [id]);

  const followsBy = useMemo(
    () =>
      id === undefined || !canHaveSecond()
        ? undefined
        : follow(id, model, walk, ({ third, room, second: other }) => {
            change({ third: thirds.find((one) => one === third), dark: room === 'dark' });
            model.second.set(other === '' ? undefined : Number(other));
          }),
    [id, model, walk],
  );
  useEffect(() => () => followsBy?.end(), [followsBy]);
  useEffect(() => () => second.current?.end(), []);

  const stand = useValue(model.setting, (setting) => setting.stand);
  const other = useStore(model.second);
  const told = {
    third: look.third,
    room: look.dark ? 'dark' : 'light',
    second: String(other ?? ''),
  };
  useEffect(() => second.current?.show(told), [look.third, look.dark, other]);
  const openSecond = () => {
    second.current ??= new Steering(model, walk, told);
    setBlocked(!second.current.open());
  };

  const enter = async () => {
    change({ forClass: true });
    // Where the browser refuses, the view for a class fills the window.
    await box.current?.requestFullscreen?.().catch(() => {});
  };
  const leave = async () => {
    change({ forClass: id !== undefined, controls: false });
    if (document.fullscreenElement) await document.exitFullscreen();
  };

  const acts = {
    next: () => (followsBy ? followsBy.ask('next') : walk.next()),
    back: () => (followsBy ? followsBy.ask('back') : walk.back()),
    flip: () => (followsBy ? followsBy.ask('flip') : model.flip()),
    third: () => {
      const third = thirds[(thirds.indexOf(look.third) + 1) % thirds.length];
      if (third === 'paths' || third === 'colour') model.layer(third, true);
      change({ third });
    },
    layer: (number: number) => {
      const name = layerNames[number - 1];
      model.layer(name);
      if (name !== 'paths' && name !== 'colour') return;
      change({ third: model.layers.value.has(name) ? name : 'arrows' });
    },
    grow: () => void grow(model),
    picture: () => {
      const seen = box.current?.querySelector('.curve');
      if (seen && box.current) void savePicture(model, box.current, 'png');
    },
    dark: () => change({ dark: !look.dark }),
    controls: () => change({ controls: !look.controls }),
    join: () => setLarge(isOpen && !isLarge),
    full: () => void enter(),
    leave: () => {
      if (isLarge) setLarge(false);
      else if (model.isLatched.value) model.letGo();
      else if (look.controls) change({ controls: false });
      else void leave();
    },
  };
  useClassKeys(look.forClass, acts);

  return (
    <div
      class="bench"
      ref={box}
      data-room={look.dark ? 'dark' : 'light'}
      data-view={look.forClass ? 'class' : 'table'}
      data-third={look.third}
      data-controls={look.controls}
    >
      <a class="skip" href="#bench">
        To the bench
      </a>
      <header class="bar">
        <a href={hrefOf('/')} class="home">
          Worksheets
        </a>
        <a href={hrefOf('/help')} class="home" target="_blank" rel="noopener">
          Help
        </a>
        <h1 class="title">Live bench</h1>
        <span class="acts">
          <button
            type="button"
            onClick={() => {
              walk.leave();
              model.show(startSetting);
            }}
          >
            As at the beginning
          </button>
          <button
            type="button"
            aria-pressed={look.dark}
            onClick={() => change({ dark: !look.dark })}
          >
            Dark room
          </button>
          {canHaveSecond() && (
            <button class="second" type="button" onClick={openSecond}>
              Second window
            </button>
          )}
          {room && id === undefined && (
            <button type="button" aria-pressed={panel} onClick={() => setPanel(!panel)}>
              {isOpen ? 'The room' : 'Open a room'}
            </button>
          )}
          <button type="button" onClick={enter}>
            For a class
          </button>
        </span>
      </header>
      {(faults.length > 0 || blocked) && (
        <div class="notices">
          <p class="notice" role="alert">
            {blocked
              ? 'The browser held the second window back. Allow this page to open windows, and press the button again.'
              : `Part of the link could not be used. ${faults.join(' ')}`}{' '}
            <button
              type="button"
              class="quiet"
              onClick={() => {
                setFaults([]);
                setBlocked(false);
              }}
            >
              Close
            </button>
          </p>
        </div>
      )}
      <main id="bench" class="bench-table" tabIndex={-1}>
        {panel && held && parts && <parts.RoomPanel held={held} model={model} />}
        <Bench
          model={model}
          walk={walk}
          answering={isOpen ? answering : undefined}
          page={pageAddress('/bench')}
          forClass={look.forClass}
        >
          {stand === 'film' && <Slides model={model} bench={box} />}
          {(stand === 'film' || stand === 'screen') && (
            <WillShow
              model={model}
              plan={(hall, by) => <Planning model={model} hall={hall} by={by} />}
            />
          )}
          {id === undefined && (
            <OwnStepsView own={own} walk={walk} model={model} page={pageAddress('/bench')} />
          )}
        </Bench>
        {look.forClass && (
          <ClassFoot
            model={model}
            isOpen={look.controls}
            acts={[
              ['F', 'Flip', acts.flip],
              ['G', 'Let the slits grow', acts.grow],
              ['A', `Below: ${look.third}`, acts.third],
              ['P', 'Save a picture', acts.picture],
              ['D', 'Dark room', acts.dark],
            ]}
            onOpen={acts.controls}
            onLeave={leave}
          >
            {held && parts && <parts.JoinLine held={held} onLarge={acts.join} />}
          </ClassFoot>
        )}
      </main>
      {look.forClass && isLarge && held && parts && (
        <parts.LargeJoin held={held} onClose={acts.join} />
      )}
    </div>
  );
}

const noAnswers = new Store({ people: 0, answers: 0 });
const noRoom = new Store(undefined);

const addressOf = (model: BenchModel, walk: Walk) =>
  [benchAddress(model), walkPart(walk.place.value)].filter(Boolean).join('&');

/** The address follows the setting, not with every frame; a link that is pasted over it is taken. */
function keepAddress(
  model: BenchModel,
  walk: Walk,
  tell: (faults: readonly string[]) => void,
): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const write = () => {
    clearTimeout(timer);
    timer = undefined;
    history.replaceState(null, '', `#${addressOf(model, walk)}`);
  };
  const soon = () => {
    timer ??= setTimeout(write, 400);
  };
  // A step at once, with the setting that comes with it: a reload may follow.
  const step = () => queueMicrotask(write);
  const walked = () => {
    const own = walk.steps.value;
    keepTabWord(walkedWord, own === steps ? null : packSteps(own));
  };
  walked();
  const read = () => {
    // `#bench` only leads past the header.
    if (!location.hash.includes('=')) return;
    if (location.hash.slice(1) === addressOf(model, walk)) return;
    const { place, packed, rest } = readWalk(location.hash);
    const { layers, faults: unknown, rest: named } = readLayers(rest);
    const { setting, pins, faults } = readAddress(named);
    const said = [...faults, ...unknown];
    const brought = packed === undefined ? undefined : ownSteps(packed, said);
    tell(said);
    if (brought) walk.take(brought);
    model.layers.set(layers);
    model.show(setting);
    if (place) {
      walk.wipe();
      walk.place.set(walk.steps.value[place.step] && place);
    } else walk.leave();
    // A link without strips leaves those that hang.
    if (pins.length > 0) {
      model.pins.set([]);
      model.pin(pins);
    }
  };
  const stops = [
    model.setting.subscribe(soon),
    model.pins.subscribe(soon),
    model.layers.subscribe(soon),
    walk.place.subscribe(step),
    walk.steps.subscribe(walked),
  ];
  window.addEventListener('hashchange', read);
  return () => {
    clearTimeout(timer);
    for (const stop of stops) stop();
    window.removeEventListener('hashchange', read);
  };
}
