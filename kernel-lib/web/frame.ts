import type { Begin, FrameSays, FrameToRunner, ToFrame } from './messages';

// The document around the runner: of an origin of its own that nothing else has (`sandbox` in the page), the only one
// that may evaluate text, and without a way to anything outside but the messages below. It holds the worker in which
// cells run, and the address that is taken away when they are to stop.

/** Between the two stands a document that lets this one evaluate text, and has no script (runner.html): not in one file. */
const isDirect = document.documentElement.hasAttribute('data-direct');
const page = isDirect ? parent : parent.parent;
const say = (word: FrameSays) => page.postMessage(word, '*');

let program = '';
let runner: Worker | undefined;
let flag = '';

const newFlag = (): string => {
  if (flag) URL.revokeObjectURL(flag);
  flag = URL.createObjectURL(new Blob(['go on']));
  return flag;
};

function begin(given: Begin, port: MessagePort): void {
  runner?.terminate();
  const started = new Worker(program);
  runner = started;
  started.onmessage = ({ data }) => started === runner && say({ runner: data });
  started.onerror = ({ message }) => started === runner && say({ frame: 'failed', why: message });
  const word: FrameToRunner = { begin: given, flag: newFlag() };
  started.postMessage(word, [port]);
}

addEventListener('message', ({ source, data, ports }: MessageEvent<ToFrame>) => {
  if (source !== page) return;
  if ('program' in data)
    program = URL.createObjectURL(new Blob([data.program], { type: 'text/javascript' }));
  else if ('begin' in data) begin(data.begin, ports[0]);
  else if ('tell' in data) runner?.postMessage(data.tell);
  else if ('stop' in data) {
    const word: FrameToRunner = { stop: true, flag: newFlag() };
    runner?.postMessage(word);
  } else {
    runner?.terminate();
    runner = undefined;
  }
});

addEventListener('DOMContentLoaded', () => say({ frame: 'up' }));
