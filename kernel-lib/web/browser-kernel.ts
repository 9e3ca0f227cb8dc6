import {
  type Completions,
  CutOff,
  type Executed,
  type FilesBeside,
  type KernelLine,
  type KernelState,
  type Published,
} from '../page/net/host';
import { neverBegan, stoppedName } from '../page/sheet/outputs';
import { Store } from '../page/store';
import { namesInText } from '../travels/files-beside';
import { KernelParts } from './kernel-parts';
import { type RunnerSays, readRunner, type ToRunner } from './messages';

/** A cell that does not stop within this time of Stop is ended with all that runs it, ms. */
const patience = 2000;
/** The cells before it are run again within this time, or not at all, ms. */
const longestReplay = 30_000;

/** What a cell says that had to be ended. */
const endedWords = (isBack: boolean) =>
  `The cell was stopped. It did not hear of it, so all that ran it was ended and begun anew; ${
    isBack
      ? 'the cells before it were run again, and variables have their values back.'
      : 'the cells before it did not come to an end when they were run again. Press Run from the top.'
  }`;

/** What the page calls a cell, and the code cells of its notebook. */
interface CellOf {
  readonly cell?: string;
  readonly cells?: readonly string[];
}

/** What was run, and what the reader answered meanwhile: nobody is asked twice. */
interface Past extends CellOf {
  readonly source: string;
  readonly answers: readonly string[];
}

const nothing: Past = { source: '', answers: [] };

/** A slider that was moved. */
interface Moved {
  readonly slider: string;
  readonly value: number;
}

interface Run extends CellOf {
  readonly source: string;
  onOutput(message: Published): void;
  onAsk(question: string, answer: (text: string) => void): void;
  /** The runner has it. */
  isTold: boolean;
  done(ended: Executed): void;
  fail(reason: CutOff): void;
}

/** End a run with a sentence of its own. */
function endWith({ onOutput, done }: Run, evalue: string, count: number | null): void {
  const content = { ename: stoppedName, evalue, traceback: [evalue] };
  onOutput({ header: { msg_type: 'error' }, content });
  done({ ok: false, count });
}

/** The kernel of a notebook in this page: a checker that never runs cells, and a runner that can do nothing else. */
export class BrowserKernel implements KernelLine {
  readonly mayEndPage = true;
  readonly state = new Store<KernelState>({ kind: 'starting' });
  readonly kernels = new Store(0);
  private readonly parts: KernelParts;
  private last = 0;
  private readonly runs = new Map<number, Run>();
  private readonly asked = new Map<number, (word: RunnerSays) => void>();
  /** Runs that Stop was pressed for. */
  private readonly stopped = new Set<number>();
  /** Ends the cells that are run again, while they are: Stop was pressed once more. */
  private endReplay: (() => void) | undefined;
  /** Those that wait for the kernel. */
  private readonly waiting = new Set<(reason: CutOff) => void>();
  /** All that was run and moved since the kernel is there, to have its values again. */
  private history: (Past | Moved)[] = [];
  private isReady: Promise<void> = new Promise(() => {});
  private onReady = () => {};

  /**
   * @param path of the notebook
   * @param beside the files beside it
   */
  constructor(
    path = '',
    private readonly beside?: Pick<FilesBeside, 'read'>,
  ) {
    this.parts = new KernelParts(
      path,
      (word) => this.hear(word),
      () =>
        this.over('The kernel has ended. Your text is safe. Press Restart, then Run from the top.'),
    );
  }

  async open(): Promise<void> {
    this.state.set({ kind: 'starting' });
    try {
      await this.begin();
    } catch (error) {
      this.over(`${(error as Error).message} Your text is safe. Press Restart.`);
      return;
    }
    this.kernels.set(this.kernels.value + 1);
    this.history = [];
    this.state.set({ kind: 'ready' });
  }

  /** A runner in the place of the one before. */
  private async begin(): Promise<void> {
    this.isReady = new Promise((done) => {
      this.onReady = done;
    });
    const port = await this.parts.begin();
    await this.isReady;
    // Its compiler takes longer to be there than all else, and the first cells do without: it begins behind them. What
    // is asked of it meanwhile waits at the port.
    void this.parts.serve(port);
  }

  close(): void {
    this.drop('The sheet was left while this ran.');
    this.parts.end();
  }

  private tell(word: ToRunner): Promise<void> {
    return this.parts.say({ tell: word });
  }

  private hear(word: unknown): void {
    const said = readRunner(word);
    if (!said) return;
    if (said.is === 'ready') this.onReady();
    else if (said.is === 'completed' || said.is === 'inspected') {
      this.asked.get(said.asked)?.(said);
      this.asked.delete(said.asked);
    } else if (said.is === 'output') this.runs.get(said.run)?.onOutput(said.output);
    else if (said.is === 'asks')
      this.runs.get(said.run)?.onAsk(said.question, (text) => {
        void this.tell({ answer: said.run, text });
      });
    else this.runs.get(said.run)?.done(said.ended);
  }

  /** Nothing runs any more until it is restarted. */
  private over(why: string): void {
    this.drop('The kernel ended while this ran.');
    this.state.set({ kind: 'ended', why });
  }

  private drop(why: string): void {
    for (const { fail } of [...this.runs.values()]) fail(new CutOff(why));
    this.runs.clear();
    this.asked.clear();
  }

  /** The runner reaches no files: those that a cell names are brought to it before the cell runs. */
  private async bring(source: string): Promise<void> {
    if (!this.beside) return;
    for (const name of namesInText(source)) {
      const bytes = await this.beside.read(name).catch(() => undefined);
      await this.tell(bytes ? { file: name, bytes } : { file: name });
    }
  }

  /** From its first moment on it can be stopped, and ends with the kernel. */
  private start(given: Omit<Run, 'isTold' | 'done' | 'fail'>, quiet: boolean): Promise<Executed> {
    this.last += 1;
    const id = this.last;
    const { source, cell, cells } = given;
    return new Promise<Executed>((done, fail) => {
      const run: Run = { ...given, isTold: false, done, fail };
      this.runs.set(id, run);
      void this.bring(source).then(() => {
        if (!this.runs.has(id)) return;
        run.isTold = true;
        void this.tell({ run: id, source, quiet, cell, cells });
      });
    }).finally(() => this.runs.delete(id));
  }

  async execute(
    source: string,
    onOutput: Run['onOutput'],
    onAsk: Run['onAsk'],
    cell?: string,
    cells?: readonly string[],
  ): Promise<Executed> {
    await this.untilReady();
    this.state.set({ kind: 'busy' });
    const answers: string[] = [];
    const onAnswered: Run['onAsk'] = (question, answer) =>
      onAsk(question, (text) => {
        answers.push(text);
        answer(text);
      });
    const running = this.start({ source, cell, cells, onOutput, onAsk: onAnswered }, false);
    const id = this.last;
    const ended = await running;
    // What was stopped may not come to an end when it is run again.
    const past = this.stopped.delete(id) ? nothing : { source, cell, cells, answers };
    // What never began was not counted, and after a fresh start nothing is.
    if (ended.count !== null) this.history.push(past);
    if (this.runs.size === 0) this.state.set({ kind: 'ready' });
    return ended;
  }

  /** It begins and ends with its page: nothing can have run in it before. */
  async ran(): Promise<readonly []> {
    return [];
  }

  /** @throws CutOff when it has ended, or ends before it is ready */
  private untilReady(): Promise<void> {
    return new Promise((done, fail) => {
      const forget = this.state.subscribe(() => look());
      const giveUp = (reason: CutOff) => {
        forget();
        this.waiting.delete(giveUp);
        fail(reason);
      };
      const look = () => {
        const { kind } = this.state.value;
        if (kind === 'ended') giveUp(new CutOff('The kernel has ended: press Restart first.'));
        if (kind !== 'ready' && kind !== 'busy') return;
        forget();
        this.waiting.delete(giveUp);
        done();
      };
      this.waiting.add(giveUp);
      look();
    });
  }

  private ask(word: (asked: number) => ToRunner): Promise<RunnerSays> {
    this.last += 1;
    const id = this.last;
    return new Promise((done) => {
      this.asked.set(id, done);
      void this.tell(word(id));
    });
  }

  async complete(source: string, at: number): Promise<Completions | undefined> {
    if (this.state.value.kind !== 'ready') return undefined;
    const said = await this.ask((complete) => ({ complete, source, at }));
    if (said.is !== 'completed' || !said.found) return undefined;
    return { from: said.found.from, matches: said.found.matches.map((text) => ({ text })) };
  }

  async inspect(source: string, at: number): Promise<string | undefined> {
    if (this.state.value.kind !== 'ready') return undefined;
    const said = await this.ask((inspect) => ({ inspect, source, at }));
    return said.is === 'inspected' ? said.text : undefined;
  }

  async move(slider: string, value: number): Promise<void> {
    await this.untilReady();
    this.noteMove({ slider, value });
    await this.tell({ slider, value });
  }

  /** Of a slider on its way only its last place is kept, with what followed it there. */
  private noteMove(moved: Moved): void {
    const { history } = this;
    const last = history.findLastIndex((one) => 'slider' in one && one.slider === moved.slider);
    const before = history.slice(0, Math.max(last, 0));
    const ranBefore = (one: Past | Moved) =>
      'source' in one && before.some((past) => 'source' in past && past.source === one.source);
    const isOnItsWay = last >= 0 && history.slice(last + 1).every(ranBefore);
    this.history = [...(isOnItsWay ? before : history), moved];
  }

  async interrupt(): Promise<void> {
    for (const giveUp of [...this.waiting])
      giveUp(new CutOff('Stopped before the kernel was there.'));
    if (this.endReplay) return this.endReplay();
    for (const [id, run] of [...this.runs]) {
      if (run.isTold) continue;
      this.runs.delete(id);
      endWith(run, neverBegan, null);
    }
    const running = [...this.runs.keys()];
    for (const id of running) this.stopped.add(id);
    if (running.length === 0) return;
    await this.parts.say({ stop: true });
    setTimeout(() => {
      if (running.some((id) => this.runs.has(id))) void this.replace();
    }, patience);
  }

  /** What does not hear is ended; the cells before it are run again, from the conversions that the checker keeps. */
  private async replace(): Promise<void> {
    const stuck = [...this.runs.values()];
    this.runs.clear();
    this.asked.clear();
    this.state.set({ kind: 'restarting' });
    // Counted like any other, though nothing comes of it: `execute` notes it so when it ends.
    const history = [...this.history, nothing];
    const late = new Promise<false>((done) => {
      this.endReplay = () => done(false);
      setTimeout(this.endReplay, longestReplay);
    });
    const replay = async (): Promise<true> => {
      await this.begin();
      for (const one of history) {
        if ('slider' in one) {
          await this.tell(one);
          continue;
        }
        const left = [...one.answers];
        const onAsk: Run['onAsk'] = (_, answer) => left.length > 0 && answer(left.shift()!);
        const { source, cell, cells } = one;
        await this.start({ source, cell, cells, onOutput: () => {}, onAsk }, true);
      }
      return true;
    };
    const isBack = await Promise.race([replay().catch(() => false), late]);
    this.endReplay = undefined;
    if (isBack) this.state.set({ kind: 'ready' });
    else {
      this.runs.clear();
      await this.open();
    }
    const evalue = endedWords(isBack);
    const count = history.filter((one) => 'source' in one).length;
    for (const run of stuck) endWith(run, evalue, isBack ? count : null);
  }

  async restart(): Promise<void> {
    this.drop('The kernel was restarted while this ran.');
    this.state.set({ kind: 'restarting' });
    await this.open();
  }
}
