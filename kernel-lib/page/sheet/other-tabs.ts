import { Store } from '../store';
import { channel, heldLocks, lockManager } from '../tab';

/** Tabs that open a sheet say so on this. */
const greetings = 'multislit.opened';

/**
 * Whether the same sheet is open in another tab of this browser. Each tab holds a lock as long as it shows the sheet, and
 * waits for those of the others, so that one that ends in whatever way is known to be gone. Where a browser has no locks
 * or no channels, nothing is known and nothing said.
 */
export class OtherTabs {
  readonly isOpen = new Store(false);
  private readonly prefix: string;
  private readonly own: string;
  private readonly left = new AbortController();
  /** Locks of other tabs that are waited for. */
  private readonly awaited = new Set<string>();
  private readonly others = channel(greetings);

  /**
   * @param place tells apart what pages of one origin keep
   * @param tab this tab's own name
   */
  constructor(place: string, path: string, tab: string) {
    this.prefix = `multislit.sheet:${place}${path}:`;
    this.own = `${this.prefix}${tab}`;
    if (!this.others) return;
    this.others.onmessage = ({ data }) => {
      if (data === this.prefix) void this.look();
    };
    this.hold();
  }

  private hold(): void {
    const { signal } = this.left;
    const held = lockManager()?.request(this.own, { signal }, () => {
      this.others?.postMessage(this.prefix);
      void this.look();
      return new Promise<void>((done) => signal.addEventListener('abort', () => done()));
    });
    held?.catch(() => {});
  }

  private async look(): Promise<void> {
    const { signal } = this.left;
    const held = [...(await heldLocks())];
    if (signal.aborted) return;
    const theirs = held.filter((name) => name.startsWith(this.prefix) && name !== this.own);
    this.isOpen.set(theirs.length > 0);
    for (const name of theirs) {
      if (this.awaited.has(name)) continue;
      this.awaited.add(name);
      // Granted when that tab lets go of it; shared, so that several who wait do not hold each other up.
      lockManager()
        ?.request(name, { mode: 'shared', signal }, () => {})
        .catch(() => {})
        .finally(() => {
          this.awaited.delete(name);
          if (!signal.aborted) void this.look();
        });
    }
  }

  /** This tab shows the sheet no more. */
  leave(): void {
    this.left.abort();
    this.others?.close();
  }
}
