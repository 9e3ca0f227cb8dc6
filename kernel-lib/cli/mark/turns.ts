/** Something of a sheet that is to be done. */
interface OfSheet {
  readonly sheet: { readonly name: string };
}

/** What is still to be done, for several who take from it. */
export interface Turns<Task> {
  /**
   * The next one for whoever had `before` last: of the same sheet while there are any, then of the sheet that fewest
   * others are at, of these the one with most left.
   */
  take(before?: Task): Task | undefined;
  /** The sheet of which whoever has `now` will get one next, as it looks now. */
  sheetAfter(now: Task): string | undefined;
}

/**
 * Deal tasks out by sheets, since whoever stays with a sheet has converted most of the next return's cells already.
 *
 * @example turns([{ sheet: { name: 'a' } }]).take()?.sheet.name // 'a'
 */
export function turns<Task extends OfSheet>(tasks: readonly Task[]): Turns<Task> {
  const left = new Map<string, Task[]>();
  for (const task of tasks) {
    const { name } = task.sheet;
    const others = left.get(name);
    if (others) others.push(task);
    else left.set(name, [task]);
  }
  // The first of a sheet lies last, where it is taken from.
  for (const queue of left.values()) queue.reverse();
  const at = new Map<string, number>();
  const leave = (name: string) => at.set(name, (at.get(name) ?? 1) - 1);

  function sheetFor(before: string | undefined): string | undefined {
    if (before !== undefined && left.has(before)) return before;
    let best: string | undefined;
    const others = (name: string) => at.get(name) ?? 0;
    for (const [name, { length }] of left) {
      if (best === undefined) best = name;
      const fewer = others(best) - others(name);
      if (fewer > 0 || (fewer === 0 && length > left.get(best)!.length)) best = name;
    }
    return best;
  }

  return {
    take(before) {
      const name = sheetFor(before?.sheet.name);
      if (before) leave(before.sheet.name);
      if (name === undefined) return undefined;
      at.set(name, (at.get(name) ?? 0) + 1);
      const queue = left.get(name)!;
      const first = queue.pop();
      if (queue.length === 0) left.delete(name);
      return first;
    },
    sheetAfter: (now) => sheetFor(now.sheet.name),
  };
}
