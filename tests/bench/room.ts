// From a change at the lecturer's bench until phones have it: 1000 lines to a room on this machine. The bound is 0.15 s
// for 95 arrivals of a hundred. The phones of the bench share the machine with the room, and its two cores.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import { Room, usualLimits } from '../../kernel-lib/desk/room';
import { writeAddress } from '../../kernel-lib/figures/bench/address';
import { startSetting } from '../../kernel-lib/figures/bench/setting';

const phones = 1000;
const states = 60;
/** As fast as a hand moves a slider from step to step, ms. */
const between = 50;
const bound = 0.15;

/** In a thread of its own: so many phones, and how long each state took to each of them. */
const audience = `
const { parentPort, workerData } = require('node:worker_threads');
const { WebSocket } = require('ws');
const { performance } = require('node:perf_hooks');
const now = () => performance.timeOrigin + performance.now();
const { port, code, phones, last } = workerData;
const times = [];
let here = 0, ready = 0, done = 0;
const join = (i) => {
  const query = new URLSearchParams({ code, device: 'device-' + String(i).padStart(20, '0') });
  const line = new WebSocket('ws://127.0.0.1:' + port + '/line?' + query, { origin: 'http://127.0.0.1:' + port });
  let first = true;
  line.on('message', (data) => {
    const { shown } = JSON.parse(data);
    if (!shown) return;
    if (first) {
      first = false;
      if (++ready === phones) parentPort.postMessage('ready');
      return;
    }
    const [sent, count] = shown.title.split(' ').map(Number);
    times.push(now() - sent);
    if (count === last && ++done === phones) parentPort.postMessage(times);
  });
  line.on('open', () => { if (here + 1 <= phones) next(); });
  line.on('error', (error) => { throw error; });
};
const next = () => { if (here < phones) join(here++); };
// Fifty come in at one time.
for (let i = 0; i < 50; i++) next();
`;

export default async function room() {
  const folder = mkdtempSync(join(tmpdir(), 'multislit-room-'));
  writeFileSync(join(folder, 'index.html'), '');
  const limits = { ...usualLimits, fromOne: phones };
  const opened = await Room.open({ folder, at: '127.0.0.1', limits });
  const { port, code } = opened;
  const worker = new Worker(audience, {
    eval: true,
    workerData: { port, code, phones, last: states - 1 },
  });
  const heard = () =>
    new Promise<unknown>((done, fail) => {
      worker.once('message', done);
      worker.once('error', fail);
    });
  try {
    await heard();
    const all = heard() as Promise<number[]>;
    for (let count = 0; count < states; count++) {
      const bench = writeAddress({ ...startSetting, slits: 2 + (count % 40) });
      const title = `${performance.timeOrigin + performance.now()} ${count}`;
      opened.show({ step: '', title, text: '', bench, place: 0, dark: false });
      await new Promise((go) => setTimeout(go, between));
    }
    const times = (await all).sort((one, other) => one - other);
    const at = (share: number) => times[Math.floor(share * (times.length - 1))] / 1e3;
    const ms = (share: number) => `${(at(share) * 1e3).toFixed(0)} ms`;
    return {
      name: 'room',
      ours: at(0.95),
      baseline: bound,
      ratio: bound / at(0.95),
      aim: 1,
      note: `${phones} phones, ${states} states, one each ${between} ms; ${times.length} arrivals: half within ${ms(0.5)}, 95 % within ${ms(0.95)}, the last after ${ms(1)}; the bound is ${bound * 1e3} ms`,
    };
  } finally {
    await worker.terminate();
    await opened.close();
    rmSync(folder, { recursive: true, force: true });
  }
}
