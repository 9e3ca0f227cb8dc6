import type { KernelProcess } from '../kernel/client';

/** Keeps one kernel started ahead, so that the first sheet need not wait for its kernel. */
export class SpareKernel {
  private spare: Promise<KernelProcess | undefined> | undefined;
  private prepared = false;

  constructor(private readonly launch: () => Promise<KernelProcess>) {}

  /** Start one now, for whoever asks first. Only once: later sheets are opened with the page warm. */
  prepare(): void {
    if (this.prepared) return;
    this.prepared = true;
    this.spare = this.launch().then(
      (kernel) => {
        kernel.onExit(() => {
          this.spare = undefined;
        });
        return kernel;
      },
      // Whoever asks next launches one and hears what is wrong.
      () => undefined,
    );
  }

  /** The kernel started ahead, or a new one. */
  async take(): Promise<KernelProcess> {
    this.prepared = true;
    const { spare } = this;
    this.spare = undefined;
    return (await spare) ?? this.launch();
  }

  /** End the one that nobody took. */
  async close(): Promise<void> {
    const kernel = await this.spare;
    await kernel?.shutdown();
  }
}
