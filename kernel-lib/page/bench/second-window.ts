import { channel, freshName } from '../tab';
import { type BenchModel, benchAddress, showAddress } from './bench-model';
import { readSteps, steps, writeSteps } from './step-list';
import { readWalk, type Walk, type Told as WalkTold, walkPart } from './walk';

const prefix = 'multislit-bench-';

/** What the first window tells the second. */
interface Told extends WalkTold {
  /** Setting, strips to compare and step, as an address has them. */
  readonly address: string;
  /** Place of the hairline, m. */
  readonly place: number;
  /** Steps of the lecturer's own, as a file has them. */
  readonly ownSteps: string | undefined;
  /** How the second window lies out, in words of the page. */
  readonly look: Readonly<Record<string, string>>;
}

/** What the second window asks of the first. */
type Asked = { readonly asks: 'state' | 'next' | 'back' | 'flip' };

/** The bench that this window shows for another one, when it was opened by it. */
export const followed = (): string | undefined =>
  window.name.startsWith(prefix) ? window.name.slice(prefix.length) : undefined;

export const canHaveSecond = (): boolean => typeof BroadcastChannel === 'function';

/** Lets a second window show what this one is set to. */
export class Steering {
  private readonly name = freshName();
  private readonly second = channel(prefix + this.name);
  private readonly stops: (() => void)[];
  private isDue = false;
  private written: { readonly of: Walk['steps']['value']; readonly text: string } | undefined;

  constructor(
    private readonly model: BenchModel,
    private readonly walk: Walk,
    private look: Told['look'],
  ) {
    this.second?.addEventListener('message', ({ data }: MessageEvent<Asked>) => {
      if (data.asks === 'next') walk.next();
      else if (data.asks === 'back') walk.back();
      else if (data.asks === 'flip') model.flip();
      this.tell();
    });
    const soon = () => this.tell();
    const stores = [model.setting, model.pins, model.layers, model.place, walk.place, walk.steps];
    const said = [walk.expected, walk.said, walk.painters];
    this.stops = [...stores, ...said].map((store) => store.subscribe(soon));
  }

  /** Open the second window, or bring it to the front. False where the browser holds it back. */
  open(): boolean {
    return window.open(location.href, prefix + this.name) !== null;
  }

  /** Lay the second window out in another way. */
  show(look: Told['look']): void {
    this.look = look;
    this.tell();
  }

  end(): void {
    for (const stop of this.stops) stop();
    this.second?.close();
  }

  /** Written once for each list of steps. */
  private ownSteps(): string | undefined {
    const { value } = this.walk.steps;
    if (value === steps) return undefined;
    if (this.written?.of !== value) this.written = { of: value, text: writeSteps(value) };
    return this.written.text;
  }

  /** Once for all that changes together. */
  private tell(): void {
    if (this.isDue) return;
    this.isDue = true;
    queueMicrotask(() => {
      this.isDue = false;
      const { model, walk } = this;
      const told: Told = {
        address: [benchAddress(model), walkPart(walk.place.value)].join('&'),
        place: model.place.value,
        expected: walk.expected.value,
        said: walk.said.value,
        painters: walk.painters.value,
        ownSteps: this.ownSteps(),
        look: this.look,
      };
      this.second?.postMessage(told);
    });
  }
}

/** Shows in this window what the first is set to. */
export function follow(
  id: string,
  model: BenchModel,
  walk: Walk,
  lookLike: (look: Told['look']) => void,
): { ask(what: Asked['asks']): void; end(): void } {
  const first = channel(prefix + id);
  let steppedBy: string | undefined;
  const ask = (asks: Asked['asks']) => first?.postMessage({ asks } satisfies Asked);
  first?.addEventListener('message', ({ data }: MessageEvent<Told | Asked>) => {
    if ('asks' in data) return;
    const { place, rest } = readWalk(data.address);
    if (data.ownSteps !== steppedBy) {
      steppedBy = data.ownSteps;
      walk.take(steppedBy === undefined ? steps : readSteps(steppedBy));
    }
    showAddress(model, rest, data.place);
    walk.followTo(place, data);
    lookLike(data.look);
  });
  ask('state');
  return { ask, end: () => first?.close() };
}
