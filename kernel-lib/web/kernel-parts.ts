import type { ToChecker } from './checker';
import type { Answered, Asked } from './checker-line';
import type { FrameSays, ToFrame } from './messages';
import { cellsAhead, sheetPrograms, siteFile, siteName, siteText } from './site';

/** What a kernel in this page is made of, each fetched and stood up once: the checker, a worker; the frame that cells run in. */
export class KernelParts {
  private checker: Promise<Worker> | undefined;
  private frame: Promise<Window> | undefined;
  /** What hears the frame, and the frame itself. */
  private readonly ends = new AbortController();

  /**
   * @param path of the notebook
   * @param hear what the runner says
   * @param failed told when the frame has lost it
   */
  constructor(
    private readonly path: string,
    private readonly hear: (word: unknown) => void,
    private readonly failed: () => void,
  ) {
    // All comes while the sheet is drawn; whoever begins is told what is not there.
    this.all().catch(() => {});
  }

  private all() {
    return Promise.all([
      this.theFrame(),
      sheetPrograms(),
      siteText('bench.txt'),
      cellsAhead(this.path),
    ]);
  }

  /**
   * A runner in the place of the one before.
   *
   * @returns where it asks the compiler, which is to be served there
   */
  async begin(): Promise<MessagePort> {
    const [frame, sheets, bench, ahead] = await this.all();
    const { port1, port2 } = new MessageChannel();
    send(frame, { begin: { sheets, bench, ahead } }, [port2]);
    return port1;
  }

  /** Tell the frame, once it stands. */
  async say(word: ToFrame): Promise<void> {
    send(await this.theFrame(), word);
  }

  end(): void {
    this.checker = undefined;
    this.ends.abort();
  }

  /** The compiler at this port; where it did not arrive, that is the answer to each who asks, and the others run on. */
  async serve(port: MessagePort): Promise<void> {
    try {
      const serve: ToChecker = { serve: true };
      (await this.theChecker()).postMessage(serve, [port]);
    } catch (error) {
      const fault = (error as Error).message;
      port.onmessage = ({ data: { id } }: MessageEvent<Asked>) => {
        const answer: Answered = { id, fault };
        port.postMessage(answer);
      };
    }
  }

  /** The checker, once it stands. */
  private theChecker(): Promise<Worker> {
    this.checker ??= this.makeChecker();
    this.checker.catch(() => {
      this.checker = undefined;
    });
    return this.checker;
  }

  private makeChecker(): Promise<Worker> {
    const checker = new Worker(siteFile('page/checker.js'));
    this.ends.signal.addEventListener('abort', () => checker.terminate());
    const types: ToChecker = { types: siteFile('types.json') };
    checker.postMessage(types);
    return new Promise((done, fail) => {
      checker.onmessage = () => done(checker);
      checker.onerror = () =>
        fail(
          new Error(
            `A part of this site did not arrive (${siteName('page/checker.js')}): it may not have been uploaded whole. Tell whoever gave you this address. Your text is safe. Press Restart.`,
          ),
        );
    });
  }

  private theFrame(): Promise<Window> {
    this.frame ??= this.makeFrame();
    this.frame.catch(() => {
      this.frame = undefined;
    });
    return this.frame;
  }

  private async makeFrame(): Promise<Window> {
    const standing = document.querySelector<HTMLIFrameElement>('iframe[data-up]')?.contentWindow;
    if (standing) {
      const program = await siteText('page/runner.js');
      this.listen(
        () => standing,
        () => {},
      );
      this.ends.signal.addEventListener('abort', () => send(standing, { end: true }));
      send(standing, { program });
      return standing;
    }
    // A frame does not tell what it lacks: ask for its parts first.
    const [program] = await Promise.all(['page/runner.js', 'page/runner.html'].map(siteText));
    // The one that cells run in is shut off from everything; it stands in one of the site's own, which lets it evaluate.
    const outer = document.createElement('iframe');
    outer.hidden = true;
    outer.title = 'Runs cells';
    outer.src = siteFile('page/runner.html');
    const up = new Promise<Window>((done) => {
      this.listen(() => outer.contentWindow?.frames[0], done);
    });
    this.ends.signal.addEventListener('abort', () => outer.remove());
    document.body.append(outer);
    const frame = await up;
    send(frame, { program });
    return frame;
  }

  /** Hear what the frame says. @param onUp told when it stands */
  private listen(inner: () => Window | undefined, onUp: (frame: Window) => void): void {
    const hear = ({ source, data }: MessageEvent<FrameSays>) => {
      const frame = inner();
      if (!frame || source !== frame || typeof data !== 'object' || data === null) return;
      if (!('frame' in data)) this.hear(data.runner);
      else if (data.frame === 'up') onUp(frame);
      else this.failed();
    };
    addEventListener('message', hear, { signal: this.ends.signal });
  }
}

function send(frame: Window, word: ToFrame, transfer: Transferable[] = []): void {
  // An opaque origin has no name to send to; only this frame is sent anything.
  frame.postMessage(word, '*', transfer);
}
