import { expect, test, vi } from 'vitest';
import { Kernel } from '../../kernel-lib/desk/kernels';

type Launch = ConstructorParameters<typeof Kernel>[0];
type Launched = Awaited<ReturnType<Launch>>;

/** A kernel of which only its messages are heard. */
function silentKernel() {
  const interrupt = vi.fn(async () => {});
  let hear: (message: unknown) => void = () => {};
  const launched = {
    onMessage: (listener: typeof hear) => {
      hear = listener;
    },
    onExit: () => {},
    interrupt,
  } as unknown as Launched;
  const kernel = new Kernel(async () => launched);
  const say = (channel: string, type: string, request: string, content = {}) =>
    hear({
      channel,
      header: { msg_id: type, msg_type: type, session: 'kernel' },
      parent_header: { msg_id: request, session: 'asked' },
      metadata: {},
      content,
    });
  const status = (request: string, state: string) =>
    say('iopub', 'status', request, { execution_state: state });
  return { kernel, interrupt, status, ask: () => say('stdin', 'input_request', 'second') };
}

// The Jupyter protocol gives no order between its channels: the question may come first.
test.each([
  ['after the kernel is heard to be busy', ['busy', 'ask'], 1],
  ['before it is heard to be busy', ['ask', 'busy'], 1],
  ['before it is heard that the request before has ended', ['ask', 'idle before'], 1],
  ['and the request has ended since', ['busy', 'ask', 'idle'], 0],
] as const)('a client goes away that was asked %s', async (_, order, stops) => {
  vi.useFakeTimers();
  const { kernel, interrupt, status, ask } = silentKernel();
  const line = { session: 'asked', deliver: () => {}, hangUp: () => {} };
  kernel.lines.add(line);
  await vi.advanceTimersByTimeAsync(1);
  for (const said of order) {
    if (said === 'ask') ask();
    else if (said === 'idle before') status('first', 'idle');
    else status('second', said);
  }
  kernel.leave(line);
  await vi.runAllTimersAsync();
  expect(interrupt).toHaveBeenCalledTimes(stops);
  vi.useRealTimers();
});
