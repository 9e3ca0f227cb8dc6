import { expect, test } from 'vitest';
import type { Tab } from './engines';
import { type KernelPage, ranOf, runCells } from './kernel-page';
import type { SiteForTest } from './site-for-test';

// A cell reaches no network, no storage and nothing of the page, whatever way it tries. The site's own server counts what
// was asked for.

/** Each is the body of an async function; `to` is an address of the site that nothing else asks for. */
const tries: Readonly<Record<string, string>> = {
  fetch: 'await fetch(to)',
  request: "const x = new XMLHttpRequest(); x.open('GET', to, false); x.send()",
  socket: "await heard(new WebSocket(to.replace('http', 'ws')), 'open')",
  'server-sent events': "await heard(new EventSource(to), 'open')",
  transport:
    "const t = new WebTransport(to.replace('http:', 'https:')); for (const each of [t.closed, t.draining]) each?.catch(() => {}); await t.ready",
  'peer connection': 'new RTCPeerConnection({ iceServers: [{ urls: "stun:127.0.0.1" }] })',
  beacon: 'if (!navigator.sendBeacon(to)) throw 0',
  script: 'importScripts(to)',
  module: "await (0, eval)('import(' + JSON.stringify(to) + ')')",
  'module of text': "await (0, eval)(`import('data:text/javascript,export default 1')`)",
  worker: "await heard(new Worker(to), 'message')",
  'shared worker': 'new SharedWorker(to)',
  'service worker': 'await navigator.serviceWorker.register(to)',
  font: "await new FontFace('x', 'url(' + to + ')').load()",
  picture: 'new Image().src = to',
  'picture element': "document.createElement('img').src = to",
  style: "document.body.style.background = 'url(' + to + ')'",
  form: "document.createElement('form').submit()",
  window: 'if (!window.open(to)) throw 0',
  place: 'location.href = to; if (location.href !== to) throw 0',
  reload: 'location.reload()',
  top: 'top.location = to',
  parent: 'parent.document.title',
  opener: 'opener.location',
  document: 'document.title',
  history: "history.pushState({}, '', to)",
  'local storage': "localStorage.setItem('taken', '1')",
  'session storage': "sessionStorage.setItem('taken', '1')",
  cookie: "document.cookie = 'taken=1'; if (!document.cookie) throw 0",
  'cookie store': "await cookieStore.set('taken', '1')",
  database: "await heard(indexedDB.open('taken'), 'success')",
  caches: "await caches.open('taken')",
  files: 'await navigator.storage.getDirectory()',
  locks: "await navigator.locks.request('taken', () => {})",
  clipboard: "await navigator.clipboard.writeText('taken')",
  alert: "alert('taken')",
  print: 'print()',
  'full screen': 'await document.documentElement.requestFullscreen()',
  notification: "await heard(new Notification('taken'), 'show')",
  payment: 'new PaymentRequest([], {})',
  place_on_earth:
    'await new Promise((done, fail) => navigator.geolocation.getCurrentPosition(done, fail))',
  download: "const a = document.createElement('a'); a.download = 'x'; a.click()",
};

const cellOf = (address: string) => `const to = ${JSON.stringify(address)};
const heard = (from: any, name: string) => new Promise((done, fail) => {
  from['on' + name] = done; from.onerror = () => fail(0); from.onblocked = () => fail(0);
});
const tries: Record<string, string> = ${JSON.stringify(tries)};
for (const [name, code] of Object.entries(tries)) {
  const attempt = (0, eval)('(async (to, heard) => { ' + code + '; })');
  const late = new Promise((done) => setTimeout(() => done('late'), 1500));
  try { console.log(name + ': ' + (await Promise.race([attempt(to, heard).then(() => 'REACHED'), late]))); }
  catch { console.log(name + ': shut'); }
}`;

/** What a page has outside of the runner, to be looked at before and after. */
const outside = async () => ({
  local: { ...localStorage },
  session: { ...sessionStorage },
  cookie: document.cookie,
  databases: (await indexedDB.databases()).map(({ name }) => name),
  caches: await caches.keys(),
  address: location.href,
  steps: history.length,
  title: document.title,
  frames: document.querySelectorAll('iframe').length,
  prototype: Object.keys(Object.prototype),
});

export function shutOff(tab: () => Tab, site: () => SiteForTest): void {
  test('a cell reaches no network, no storage, no page', async () => {
    const to = `${site().address}taken`;
    const before = await tab().evaluate(outside, undefined);
    const [cell] = await runCells(tab(), [cellOf(to)]);
    const { printed, error } = ranOf(cell);
    expect(error).toBeUndefined();
    const came = Object.fromEntries(
      printed
        .trimEnd()
        .split('\n')
        .map((line) => line.split(': ') as [string, string]),
    );
    expect(Object.keys(came)).toEqual(Object.keys(tries));
    expect(Object.entries(came).filter(([, how]) => how === 'REACHED')).toEqual([]);
    expect(site().asked.filter((path) => /taken/.test(path))).toEqual([]);
    expect(await tab().evaluate(outside, undefined)).toEqual(before);
  });

  test('a channel by name leads nowhere', async () => {
    const heard = await tab().evaluate(async () => {
      const { kernel } = globalThis as unknown as KernelPage;
      const got: unknown[] = [];
      const channel = new BroadcastChannel('multislit.saved');
      channel.onmessage = ({ data }) => got.push(data);
      const cell = `try { new (globalThis as any).BroadcastChannel('multislit.saved').postMessage('02-one-slit.ipynb'); } catch {}`;
      await kernel.execute(
        cell,
        () => {},
        () => {},
      );
      // Its own word comes after what was posted before it.
      const sent = new BroadcastChannel('multislit.saved');
      const own = new Promise<void>((done) =>
        channel.addEventListener('message', ({ data }) => data === 'own' && done()),
      );
      sent.postMessage('own');
      await own;
      return got;
    }, undefined);
    expect(heard).toEqual(['own']);
  });

  test('what a cell says in the runner’s name changes nothing outside', async () => {
    const forged = [
      ...['{"is":"ready"}', '{"is":"done","run":"x"}', '<b>', '{"is":"frame"}', 'null', '[]', '3'],
      '{"__proto__":{"taken":1},"is":"output","run":0,"output":{"header":{"msg_type":"stream"},"content":{"name":"stdout","text":"x","__proto__":{"taken":1}}}}',
      '{"is":"output","run":1,"output":{"header":{"msg_type":"error"},"content":{"ename":{},"evalue":1,"traceback":[]}}}',
      '{"constructor":{"prototype":{"taken":1}},"is":"completed","asked":1}',
    ];
    const cells = [
      `const post = (globalThis as any).postMessage;
for (const word of ${JSON.stringify(forged)}) post(word);
for (const word of [undefined, { frame: 'failed', why: 'x' }, { saved: true }, new Map([[1, 2]]), new ArrayBuffer(9)]) post(word);
const line = new (globalThis as any).MessageChannel();
post({ begin: 1 }, [line.port1]);
post('"' + 'x'.repeat(70_000_000) + '"');
console.log('still here');`,
      '6 * 7',
    ];
    const before = await tab().evaluate(outside, undefined);
    const [first, second] = (await runCells(tab(), cells)).map(ranOf);
    expect(first.error).toBeUndefined();
    expect(first).toMatchObject({ printed: 'still here\n' });
    expect(second.value).toBe('42');
    expect(await tab().evaluate(outside, undefined)).toEqual(before);
  });
}
