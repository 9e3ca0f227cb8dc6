import { type Cell, type CodeCell, type Output, sourceOf, tagOf } from '../../notebook/notebook';
import { CutOff, type KernelLine, type Published } from '../net/host';
import { Store } from '../store';
import { type CellNotes, Following, olderWords } from './following';
import { Displays, neverBegan, stoppedName, whatCameOut, withMessage } from './outputs';
import type { SheetModel } from './sheet-model';
import { digestOfWork, needsFirst, withWorking } from './working';

export interface RunState {
  /** The cell that runs now. */
  readonly running: string | undefined;
  /** The text with which it began. */
  readonly runningText: string | undefined;
  /** Whether the outputs of the cell that runs are of this run already. */
  readonly renewed: boolean;
  /** Those whose turn is still to come. */
  readonly waiting: readonly string[];
  /** Cells run in this kernel, with the source they had, in the order in which each last ran. */
  readonly ran: ReadonlyMap<string, string>;
  /** What there is to say beside cells that ran: such as that they are older than what they use. */
  readonly notes: ReadonlyMap<string, CellNotes>;
  /** A slider is being moved, and what depends on it runs again and again. */
  readonly moving: boolean;
  /** How often each cell has run to its end on this page. */
  readonly runs: ReadonlyMap<string, number>;
  /** Where the last run ended early, and what that means. */
  readonly stopped: { readonly cell: string; readonly left: number } | undefined;
  /** What the running cell asks of the reader. */
  readonly asked: { readonly question: string; answer(text: string): void } | undefined;
  /** One sentence about the last run, for reading aloud. */
  readonly said: string;
}

const nothing: RunState = {
  running: undefined,
  runningText: undefined,
  renewed: false,
  waiting: [],
  ran: new Map(),
  notes: new Map(),
  moving: false,
  runs: new Map(),
  stopped: undefined,
  asked: undefined,
  said: '',
};

/** A slider is followed at most so often, ms: 30 times a second. */
const oneMove = 1000 / 30;
/** What a cell shows that follows a slider is held back until it has ended, but no longer than this, ms. */
const longestHold = 250;

/** Runs cells one after the other and puts their outputs into the sheet. */
export class Runner {
  readonly state = new Store<RunState>(nothing);
  readonly following: Following;
  private busy = false;
  /** The run that goes on, or the last. */
  private going: Promise<void> = Promise.resolve();
  /** An error ends its own cell alone. */
  private pastErrors = false;
  /** Cells run in this kernel, with the source they had, in the order in which each last ran. */
  private readonly ran = new Map<string, string>();
  private readonly displays = new Displays();
  /** Where sliders are to be, by their ids, and the cells that they stand in. */
  private readonly moves = new Map<string, { readonly cell: string; readonly value: number }>();
  private movedAt = 0;
  /** Asked for while a cell runs: after it all begins at the top, however it ends. */
  private isToBegin = false;
  /** Counts presses of Stop, so that what goes on by itself knows of them. */
  private stops = 0;

  constructor(
    private readonly model: SheetModel,
    private readonly kernel: KernelLine,
    /** Told of each cell that ran without an error, and of the text that it had. */
    private readonly onFine: (id: string, code: string) => void = () => {},
    /** Waited for before and after a cell runs. */
    private readonly around?: { begins(cell: Cell): Promise<void>; ends(): Promise<void> },
  ) {
    this.following = new Following(model);
    kernel.kernels.subscribe(() => {
      this.ran.clear();
      this.following.forget();
      this.change({ ran: new Map(), notes: new Map() });
      void this.learn(kernel.kernels.value);
    });
  }

  /** A kernel outlives its page: what ran in it before is known to it. */
  private async learn(which: number): Promise<void> {
    const before = await this.kernel.ran().catch(() => []);
    if (which !== this.kernel.kernels.value) return;
    const since = [...this.ran];
    this.ran.clear();
    for (const { cell, source, names } of before) {
      this.ran.set(cell, source);
      if (!since.some(([id]) => id === cell)) this.following.note(cell, names);
    }
    for (const [id, code] of since) {
      this.ran.delete(id);
      this.ran.set(id, code);
    }
    this.change({ ran: new Map(this.ran), notes: this.following.notes(this.ran) });
  }

  private change(some: Partial<RunState>): void {
    this.state.set({ ...this.state.value, ...some });
  }

  /** Run one cell, and before it what it stands on and has not run as it is now. */
  runCell(id: string): void {
    const { cells } = this.model;
    this.run([...needsFirst(cells.value, id, this.state.value.ran), id]);
  }

  /** Run these cells in this order, after what waits already and before what of them waits; the first error ends it. */
  run(ids: readonly string[]): void {
    const { running, runningText, waiting } = this.state.value;
    // What runs already runs again where it is asked for alone, or by another text.
    const isNew = (id: string) =>
      id !== running || ids.length === 1 || this.textOf(id) !== runningText;
    const turns = [...waiting];
    let before = turns.length;
    for (const id of [...ids].reverse()) {
      const at = turns.indexOf(id);
      if (at >= 0) before = at;
      else if (isNew(id)) turns.splice(before, 0, id);
    }
    this.change({ waiting: turns, stopped: undefined, said: '' });
    this.begin();
  }

  private textOf(id: string): string | undefined {
    const cell = this.model.code(id);
    return cell && sourceOf(cell);
  }

  private begin(): void {
    if (!this.busy) this.going = this.go();
  }

  /** Run every code cell, in order: after the cell that runs now, instead of what was to follow it. */
  runAll(): void {
    this.isToBegin = this.state.value.running !== undefined;
    this.change({ waiting: codeIds(this.model.cells.value), stopped: undefined, said: '' });
    this.begin();
  }

  /**
   * Run every code cell in order as a marker does: with a clean memory, and where one fails the next all the same.
   *
   * @returns whether it came to the end; not where it was stopped or the kernel was lost
   */
  async runAsMarked(): Promise<boolean> {
    await this.restart();
    await this.going;
    const { stops } = this;
    this.pastErrors = true;
    this.run(codeIds(this.model.cells.value));
    await this.going;
    const isThrough = this.pastErrors && this.stops === stops;
    this.pastErrors = false;
    return isThrough;
  }

  /** Run a cell and every code cell below it, in order; before them what the first stands on. */
  runFrom(id: string): void {
    const { value } = this.model.cells;
    const at = value.findIndex((cell) => cell.id === id);
    if (at < 0) return;
    this.run([...needsFirst(value, id, this.state.value.ran), ...codeIds(value.slice(at))]);
  }

  /** Run the cell with the givens, which shows what the sheet is about. */
  runGiven(): void {
    const { value } = this.model.cells;
    const last = value.findLast((cell) => tagOf(cell)?.role === 'given');
    if (last) this.runCell(last.id);
  }

  /** Run the cells that are older than what they use, in their order. */
  bringAlong(): void {
    const { notes } = this.state.value;
    const older = [...notes].filter(([, note]) => note.older).map(([id]) => id);
    this.run(this.following.after([], this.ran, older));
  }

  /** The slider `id` in a cell is to be at `value`: what depends on it follows. The latest value wins. */
  move(cell: string, id: string, value: number): void {
    this.moves.set(id, { cell, value });
    this.begin();
  }

  private dropAll(): void {
    this.stops += 1;
    this.moves.clear();
    this.isToBegin = false;
    this.change({ waiting: [] });
  }

  async stop(): Promise<void> {
    this.dropAll();
    await this.kernel.interrupt();
  }

  async restart(): Promise<void> {
    this.dropAll();
    await this.kernel.restart();
  }

  private async go(): Promise<void> {
    this.busy = true;
    let ended: string[] = [];
    let brought: readonly string[] = [];
    for (;;) {
      const [id, ...waiting] = this.state.value.waiting;
      if (id !== undefined) {
        this.change({ running: id, runningText: this.textOf(id), waiting, renewed: false });
        const fine = await this.runOne(id);
        const begins = this.isToBegin;
        this.isToBegin = false;
        // As it is marked nothing is run twice.
        if (!fine || begins || this.pastErrors) ended = [];
        else if (!brought.includes(id)) ended.push(id);
        const left = this.state.value.waiting.length;
        if (left === 0 && ended.length > 0) {
          // Nothing follows what was brought along: in a circle that would go on for ever.
          brought = this.following.on.value ? this.following.after(ended, this.ran) : [];
          ended = [];
        }
        this.publish([id], left === 0 && fine && !brought.includes(id) ? brought : undefined);
        if (!fine && !begins && !this.pastErrors) this.endEarly(id, left);
      } else if (this.moves.size > 0) await this.followMoves();
      else break;
    }
    this.busy = false;
  }

  /** Tell the page that cells have run. @param waiting those whose turn is still to come, where they are others now */
  private publish(ids: readonly string[], waiting = this.state.value.waiting): void {
    const runs = new Map(this.state.value.runs);
    for (const id of ids) runs.set(id, (runs.get(id) ?? 0) + 1);
    const notes = this.following.notes(this.ran);
    const cameOut = whatCameOut(this.model.code(ids.at(-1) ?? '')?.outputs ?? []);
    this.change({
      running: undefined,
      runningText: undefined,
      waiting,
      asked: undefined,
      ran: new Map(this.ran),
      runs,
      notes,
      said: `${cameOut} ${olderWords(notes)}`.trim(),
    });
  }

  private endEarly(cell: string, left: number): void {
    this.change({ waiting: [], stopped: left > 0 ? { cell, left } : undefined });
  }

  /** Follow sliders until they stand still. The page is told once, at the end: outputs change as they come. */
  private async followMoves(): Promise<void> {
    const ended = new Set<string>();
    let failed: Failed | undefined;
    this.change({ moving: true, stopped: undefined });
    while (this.moves.size > 0 && this.state.value.waiting.length === 0) {
      const rest = this.movedAt + oneMove - performance.now();
      if (rest > 0) await new Promise((done) => setTimeout(done, rest));
      this.movedAt = performance.now();
      const moved = [...this.moves];
      this.moves.clear();
      const cells = [...new Set(moved.map(([, { cell }]) => cell))];
      failed = undefined;
      if (cells.some((id) => !this.ran.has(id)))
        failed = await this.runQuietly(this.anew(cells), ended);
      for (const [id, { value }] of moved) await this.kernel.move(id, value);
      failed ??= await this.runQuietly(this.following.after([], this.ran, cells), ended);
    }
    this.change({ moving: false });
    this.publish([...ended]);
    if (failed && this.state.value.waiting.length === 0) this.endEarly(failed.id, failed.left);
  }

  private async runQuietly(
    ids: readonly string[],
    ended: Set<string>,
  ): Promise<Failed | undefined> {
    const { stops } = this;
    for (const [at, id] of ids.entries()) {
      if (this.stops !== stops) return undefined;
      const fine = await this.runOne(id, true);
      ended.add(id);
      if (!fine) return { id, left: ids.length - at - 1 };
    }
    return undefined;
  }

  /** For a sheet that ran in another kernel, or before this page was opened: nothing is known of it yet. */
  private anew(cells: readonly string[]): string[] {
    const all = this.model.cells.value.filter((cell) => cell.cell_type === 'code');
    const last = all.findLastIndex(({ id }) => cells.includes(id));
    return all
      .filter((cell, at) => at <= last || cell.execution_count !== null)
      .map(({ id }) => id);
  }

  /** @param held put what comes out into the sheet all at once, when the cell has ended */
  private async runOne(id: string, held = false): Promise<boolean> {
    const cell = this.model.code(id);
    if (!cell) return true;
    // Of those that follow a slider the text was kept when they first ran.
    if (held || !this.around) return this.runCode(id, cell, held);
    const { stops } = this;
    await this.around.begins(cell);
    try {
      return this.stops === stops ? await this.runCode(id, cell, held) : this.neverBegan(id);
    } finally {
      await this.around.ends();
    }
  }

  /** Stop came when it was this cell's turn, and the kernel had not heard of it yet. */
  private neverBegan(id: string): false {
    this.model.setOutputs(id, [
      { output_type: 'error', ename: stoppedName, evalue: neverBegan, traceback: [] },
    ]);
    return false;
  }

  private async runCode(id: string, cell: CodeCell, held: boolean): Promise<boolean> {
    const code = sourceOf(cell);
    const { role, question } = tagOf(cell) ?? {};
    const isAnswer = role === 'answer' && question !== undefined;
    const working = isAnswer ? digestOfWork(this.model.cells.value, question) : undefined;
    // The old outputs stay until something new comes, so that the sheet does not jump.
    let stale = true;
    const holding = held ? performance.now() + longestHold : 0;
    let kept: Output[] | undefined;
    const put = (outputs: Output[], count?: number | null) => {
      stale = false;
      kept = undefined;
      if (!held && !this.state.value.renewed) this.change({ renewed: true });
      this.model.setOutputs(id, outputs, count);
    };
    const now = () => kept ?? (stale ? [] : (this.model.code(id)?.outputs ?? []));
    const onOutput = (message: Published) => {
      const type = message.header.msg_type;
      if (type === 'update_display_data') this.displays.update(this.model, message);
      else if (type === 'clear_output' && message.content.wait) stale = true;
      else if (type === 'clear_output') put([]);
      else {
        const before = now();
        const after = withMessage(before, message);
        if (after === before) return;
        this.displays.note(after, message);
        if (performance.now() < holding) kept = after;
        else put(after);
      }
    };
    try {
      const onAsk = (question: string, send: (text: string) => void) => {
        const answer = (text: string) => {
          this.change({ asked: undefined });
          send(text);
        };
        // The question is of this run, and so is what stands above it.
        put(now());
        this.change({ asked: { question, answer } });
      };
      const ids = codeIds(this.model.cells.value);
      const reply = await this.kernel.execute(code, onOutput, onAsk, id, ids);
      put(working === undefined ? now() : withWorking(now(), working), reply.count);
      // The order is that in which each last ran.
      this.ran.delete(id);
      this.ran.set(id, code);
      this.following.note(id, reply.names);
      if (reply.ok) this.onFine(id, code);
      return reply.ok;
    } catch (error) {
      if (!(error instanceof CutOff)) throw error;
      this.pastErrors = false;
      put([
        ...now(),
        { output_type: 'error', ename: 'Cut off', evalue: error.message, traceback: [] },
      ]);
      return false;
    }
  }
}

/** Where a pass through what depends on a slider ended early. */
interface Failed {
  readonly id: string;
  /** So many cells were not run. */
  readonly left: number;
}

const codeIds = (cells: readonly Cell[]) =>
  cells.filter((cell) => cell.cell_type === 'code').map(({ id }) => id);
