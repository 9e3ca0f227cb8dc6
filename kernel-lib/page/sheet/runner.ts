import { type Cell, type Output, sourceOf, tagOf } from '../../notebook/notebook';

import { CutOff, type KernelLine, type Published } from '../net/host';
import { Store } from '../store';
import { Displays, messageOf, placeIn, verdictIn, withMessage } from './outputs';
import type { SheetModel } from './sheet-model';
import { digestOfWork, needsFirst, withWorking } from './working';

export interface RunState {
  /** The cell that runs now. */
  readonly running: string | undefined;
  /** Whether the outputs of the cell that runs are of this run already. */
  readonly renewed: boolean;
  /** Those whose turn is still to come. */
  readonly waiting: readonly string[];
  /** Cells run in this kernel, with the source they had, in the order in which each last ran. */
  readonly ran: ReadonlyMap<string, string>;
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
  renewed: false,
  waiting: [],
  ran: new Map(),
  runs: new Map(),
  stopped: undefined,
  asked: undefined,
  said: '',
};

/** Runs cells one after the other and puts their outputs into the sheet. */
export class Runner {
  readonly state = new Store<RunState>(nothing);
  private busy = false;
  private readonly displays = new Displays();

  constructor(
    private readonly model: SheetModel,
    private readonly kernel: KernelLine,
  ) {
    kernel.kernels.subscribe(() => this.change({ ran: new Map() }));
  }

  private change(some: Partial<RunState>): void {
    this.state.set({ ...this.state.value, ...some });
  }

  /** Run one cell, and before it what it stands on and has not run as it is now. */
  runCell(id: string): void {
    const { cells } = this.model;
    this.run([...needsFirst(cells.value, id, this.state.value.ran), id]);
  }

  /** Run these cells in this order; the first error ends it. */
  run(ids: readonly string[]): void {
    const { running, waiting } = this.state.value;
    const more = ids.filter((id) => id !== running && !waiting.includes(id));
    const again = ids.filter((id) => id === running && ids.length === 1);
    this.change({ waiting: [...waiting, ...more, ...again], stopped: undefined, said: '' });
    void this.go();
  }

  /** Run every code cell, in order. */
  runAll(): void {
    const { value } = this.model.cells;
    this.run(codeIds(value));
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

  async stop(): Promise<void> {
    this.change({ waiting: [] });
    await this.kernel.interrupt();
  }

  async restart(): Promise<void> {
    this.change({ waiting: [] });
    await this.kernel.restart();
  }

  private async go(): Promise<void> {
    if (this.busy) return;
    this.busy = true;
    while (this.state.value.waiting.length > 0) {
      const [id, ...waiting] = this.state.value.waiting;
      this.change({ running: id, waiting, renewed: false });
      const fine = await this.runOne(id);
      const { runs } = this.state.value;
      this.change({
        running: undefined,
        asked: undefined,
        runs: new Map(runs).set(id, (runs.get(id) ?? 0) + 1),
        said: whatCameOut(this.model.code(id)?.outputs ?? []),
      });
      if (fine) continue;
      const left = this.state.value.waiting.length;
      this.change({ waiting: [], stopped: left > 0 ? { cell: id, left } : undefined });
    }
    this.busy = false;
  }

  private async runOne(id: string): Promise<boolean> {
    const cell = this.model.code(id);
    if (!cell) return true;
    const code = sourceOf(cell);
    const { role, question } = tagOf(cell) ?? {};
    const isAnswer = role === 'answer' && question !== undefined;
    const working = isAnswer ? digestOfWork(this.model.cells.value, question) : undefined;
    // The old outputs stay until something new comes, so that the sheet does not jump.
    let stale = true;
    const put = (outputs: Output[], count?: number | null) => {
      stale = false;
      if (!this.state.value.renewed) this.change({ renewed: true });
      this.model.setOutputs(id, outputs, count);
    };
    const now = () => (stale ? [] : (this.model.code(id)?.outputs ?? []));
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
        put(after);
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
      const reply = await this.kernel.execute(code, onOutput, onAsk);
      put(working === undefined ? now() : withWorking(now(), working), reply.count);
      this.noteRan(id, code);
      return reply.ok;
    } catch (error) {
      if (!(error instanceof CutOff)) throw error;
      put([
        ...now(),
        { output_type: 'error', ename: 'Cut off', evalue: error.message, traceback: [] },
      ]);
      return false;
    }
  }

  private noteRan(id: string, code: string): void {
    const ran = new Map(this.state.value.ran);
    ran.delete(id);
    this.change({ ran: ran.set(id, code) });
  }
}

const codeIds = (cells: readonly Cell[]) =>
  cells.filter((cell) => cell.cell_type === 'code').map(({ id }) => id);

/** For reading aloud: the verdict or the error, if there is one. */
function whatCameOut(outputs: readonly Output[]): string {
  for (const output of [...outputs].reverse()) {
    const verdict = verdictIn(output);
    if (verdict) return `Question ${verdict.question} ${verdict.state}. ${verdict.message}`;
    if (output.output_type === 'error') {
      const place = placeIn(outputs);
      return `Error${place ? ` in line ${place.line}` : ''}: ${messageOf(output)}`;
    }
  }
  return 'Done.';
}
