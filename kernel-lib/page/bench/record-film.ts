import type { Store } from '../store';

const TYPE = 'video/webm';
/** Frames painted in a second while nothing moves: a recorder takes what is painted anew, and only that. */
const STILL = 10;
/** How long a film stays with its last frame, ms. */
const LAST = 1500;
/** What has been recorded is handed over so often, ms. */
const PIECE = 200;
/** A browser that hands over no picture within this time is not waited for, ms. */
const LONGEST = 30_000;

export const canRecord = () =>
  typeof MediaRecorder === 'function' && MediaRecorder.isTypeSupported(TYPE);

/**
 * A film of what is painted on a canvas. What is to be filmed begins when the browser has recorded its first picture,
 * and the film ends when one of the last frame may be in it: a slow or busy computer takes seconds to either.
 *
 * @param paint a frame
 * @param changes paint another whenever this changes
 * @param act what is filmed; resolves when it is over
 * @throws Error where the browser records nothing, as in a window that is not in sight
 */
export async function recordFilm(
  canvas: HTMLCanvasElement,
  paint: () => void,
  changes: Store<unknown>,
  act: () => Promise<void>,
): Promise<Blob> {
  paint();
  const recorder = new MediaRecorder(canvas.captureStream(), {
    mimeType: TYPE,
    videoBitsPerSecond: 4e6,
  });
  const parts: Blob[] = [];
  let onPart = () => {};
  recorder.addEventListener('dataavailable', ({ data }) => {
    if (data.size === 0) return;
    parts.push(data);
    onPart();
  });
  const nextPart = () =>
    new Promise<void>((done) => {
      const late = setTimeout(done, LONGEST);
      onPart = () => {
        clearTimeout(late);
        done();
      };
    });
  const firstPicture = async () => {
    const latest = performance.now() + LONGEST;
    while (!(await hasPicture(parts))) {
      if (performance.now() > latest)
        throw new Error(
          'The browser recorded no picture in half a minute. Keep this window in sight while it films, or take the series of PNG.',
        );
      await nextPart();
    }
  };
  const stopped = new Promise((done) => recorder.addEventListener('stop', done, { once: true }));
  recorder.start(PIECE);
  const stop = changes.subscribe(paint);
  const still = setInterval(paint, 1000 / STILL);
  try {
    await firstPicture();
    await act();
    await new Promise((done) => setTimeout(done, LAST));
    await nextPart();
  } finally {
    clearInterval(still);
    stop();
    recorder.stop();
  }
  await stopped;
  return new Blob(parts, { type: TYPE });
}

/** Pictures stand in clusters, which begin with these bytes (common practice, no source); what comes before is no film yet. */
const CLUSTER = [0x1f, 0x43, 0xb6, 0x75];

async function hasPicture(parts: readonly Blob[]): Promise<boolean> {
  const bytes = new Uint8Array(await new Blob([...parts]).arrayBuffer());
  return bytes.some((_, i) => CLUSTER.every((byte, k) => bytes[i + k] === byte));
}
