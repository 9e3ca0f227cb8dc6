import { MessageChannel } from 'node:worker_threads';

const { port1, port2 } = new MessageChannel();
const calls: (() => void)[] = [];

port1.on('message', () => {
  const call = calls.shift();
  if (calls.length === 0) port1.unref();
  call?.();
});
port1.unref();

/**
 * Call back from the event loop, with nothing else on the stack. Unlike Node's timers and immediates,
 * what is left is in order when the call is cut off in the middle: an immediate that is cut off leaves
 * Node calling its queue for ever.
 */
export function soon(call: () => void): void {
  calls.push(call);
  port1.ref();
  port2.postMessage(0);
}
