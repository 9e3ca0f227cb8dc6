// Keeps one whole version of the site on the device and serves it from there, so that it works without a connection.
// A newer version is fetched beside it and waits: what is open is never replaced under the reader's hands. What moves
// figures, as large as all the rest, is kept from the first time that it is used, or once the page says that it may be.

/** What `cli/site-files.ts` writes above this script. */
declare const site: {
  /** The page itself, which has one name in all versions, by the digest of this one. */
  readonly index: { readonly digest: string };
  /** Every part by its path, which carries a digest itself, with that digest as `integrity` has it. */
  readonly parts: readonly (readonly [path: string, digest: string])[];
  /** Those that are kept only where they are used. */
  readonly later: readonly (readonly [path: string, digest: string])[];
};

interface Lasting extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface Fetching extends Lasting {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}
interface Scope {
  readonly registration: ServiceWorkerRegistration;
  readonly clients: {
    claim(): Promise<void>;
    matchAll(which: object): Promise<readonly unknown[]>;
  };
  skipWaiting(): Promise<void>;
}
const { registration, clients, skipWaiting } = globalThis as unknown as Scope;

const { scope } = registration;
/** An origin may have several sites. */
const cacheName = `multislit ${new URL(scope).pathname}`;
const addressOf = (path: string) => new URL(path, scope).href;
const index = addressOf(`index.html?${site.index.digest}`);
type Part = readonly [address: string, digest: string];
const addressed = ([path, digest]: Part): Part => [addressOf(path), digest];
const wanted: readonly Part[] = [[index, site.index.digest], ...site.parts.map(addressed)];
const later: readonly Part[] = site.later.map(addressed);

/** As many parts are fetched side by side. */
const atOnce = 4;

/** The same part in all versions has one stem. */
const stemOf = (address: string) => address.replace(/-\w+(?=\.\w+$)/, '');

async function keep(cache: Cache, [address, integrity]: Part): Promise<void> {
  if (await cache.match(address)) return;
  // A part of its name is its content, so that any cache on the way will do; the page itself is asked for anew.
  const cached = address === index ? 'reload' : 'default';
  const answer = await fetch(address, { integrity, cache: cached });
  if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
  await cache.put(address, answer);
}

/** Fetch what is not here yet; all of it, or this version is never used. */
async function take(): Promise<void> {
  const cache = await caches.open(cacheName);
  // Who moved figures under an older version goes on doing so without a connection.
  const used = new Set((await cache.keys()).map(({ url }) => stemOf(url)));
  const left = [...wanted, ...later.filter(([address]) => used.has(stemOf(address)))];
  const fetchNext = async (): Promise<void> => {
    for (let next = left.shift(); next; next = left.shift()) await keep(cache, next);
  };
  await Promise.all(Array.from({ length: atOnce }, fetchNext));
}

async function takeRest(): Promise<void> {
  const cache = await caches.open(cacheName);
  for (const part of later) await keep(cache, part);
}

/** Parts of other versions go, unless a page may still ask for them. */
async function tidy(): Promise<void> {
  const open = await clients.matchAll({ type: 'window', includeUncontrolled: true });
  if (open.length > 1) return;
  const cache = await caches.open(cacheName);
  const known = new Set([...wanted, ...later].map(([address]) => address));
  for (const request of await cache.keys())
    if (!known.has(request.url)) await cache.delete(request);
}

async function answerTo(request: Request): Promise<Response> {
  const address = request.url.replace(/[?#].*$/, '');
  const isPage = address === scope || address === addressOf('index.html');
  const cache = await caches.open(cacheName);
  const find = () => cache.match(isPage ? index : address, { ignoreVary: true });
  const kept = await find();
  if (kept) return kept;
  const used = later.find(([other]) => other === address);
  if (used && request.mode !== 'navigate') {
    // A device that is full shows it all the same.
    await keep(cache, used).catch(() => {});
    return (await find()) ?? fetch(request);
  }
  return fetch(request);
}

addEventListener('install', (event) => (event as Lasting).waitUntil(take()));
addEventListener('activate', (event) =>
  (event as Lasting).waitUntil(clients.claim().then(() => tidy())),
);
addEventListener('message', (event: MessageEvent) => {
  const { data } = event;
  if (data === 'take over') void skipWaiting.call(globalThis);
  if (data === 'take the rest') (event as unknown as Lasting).waitUntil(takeRest().catch(() => {}));
});
addEventListener('fetch', (event) => {
  const { request, respondWith } = event as Fetching;
  if (request.method === 'GET' && request.url.startsWith(scope))
    respondWith.call(event, answerTo(request));
});

export {};
