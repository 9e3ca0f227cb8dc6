import {
  ContentsManager,
  KernelAPI,
  KernelConnection,
  KernelSpecAPI,
  ServerConnection,
  SessionAPI,
} from '@jupyterlab/services';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { WebSocket } from 'ws';
import { smallSheet, type TestDesk, testDesk } from './desk-for-test';

// The desk speaks Jupyter's protocol when Jupyter's own client library can use it.
let desk: TestDesk;
let serverSettings: ServerConnection.ISettings;

beforeAll(async () => {
  desk = await testDesk();
  serverSettings = ServerConnection.makeSettings({
    baseUrl: `${desk.origin}/`,
    wsUrl: `${desk.origin.replace('http', 'ws')}/`,
    token: desk.token,
    appendToken: true,
    WebSocket: WebSocket as unknown as ServerConnection.ISettings['WebSocket'],
  });
});
afterAll(() => desk.end());

test('kernelspecs, sessions and kernels are listed as Jupyter lists them', async () => {
  const specs = await KernelSpecAPI.getSpecs(serverSettings);
  expect(specs.default).toBe('multislit');
  expect(specs.kernelspecs.multislit?.language).toBe('typescript');
  const make = {
    path: 'a.ipynb',
    name: 'a.ipynb',
    type: 'notebook',
    kernel: { name: 'multislit' },
  };
  const [one, two] = await Promise.all([
    SessionAPI.startSession(make, serverSettings),
    SessionAPI.startSession(make, serverSettings),
  ]);
  expect(one.id).toBe(two.id);
  expect((await KernelAPI.listRunning(serverSettings)).map(({ id }) => id)).toEqual([
    one.kernel?.id,
  ]);
  await KernelAPI.shutdownKernel(one.kernel?.id ?? '', serverSettings);
  expect(await KernelAPI.listRunning(serverSettings)).toEqual([]);
  expect(await SessionAPI.listRunning(serverSettings)).toEqual([]);
});

test('notebooks are saved and read through its contents manager', async () => {
  const contents = new ContentsManager({ serverSettings });
  await contents.save('b.ipynb', { type: 'notebook', format: 'json', content: smallSheet });
  const read = await contents.get('b.ipynb');
  expect(read.content.cells).toHaveLength(3);
  expect((await contents.get('')).content.map(({ name }: { name: string }) => name)).toContain(
    'b.ipynb',
  );
  contents.dispose();
});

for (const [name, protocols] of [
  ['the newer framing', undefined],
  ['the older framing', []],
] as const)
  test(`a kernel computes and is restarted through its connection, in ${name}`, async () => {
    const model = await KernelAPI.startNew({ name: 'multislit' }, serverSettings);
    const Plain = class extends WebSocket {
      constructor(url: string, offered: string[]) {
        super(url, protocols === undefined ? offered : []);
      }
    };
    const settings = { ...serverSettings, WebSocket: Plain as never };
    const kernel = new KernelConnection({ model, serverSettings: settings });
    const seen: string[] = [];
    const future = kernel.requestExecute({ code: "'ä' + 6 * 7" });
    future.onIOPub = ({ header, content }) => {
      if (header.msg_type === 'execute_result')
        seen.push(String((content as { data: Record<string, unknown> }).data['text/plain']));
    };
    expect((await future.done).content.status).toBe('ok');
    expect(seen).toEqual([expect.stringContaining('ä42')]);
    await kernel.restart();
    expect((await kernel.requestExecute({ code: '1' }).done).content).toMatchObject({
      status: 'ok',
      execution_count: 1,
    });
    await kernel.shutdown();
    kernel.dispose();
  });

test('a client that goes away while it is asked does not leave the kernel waiting for its answer', async () => {
  const model = await KernelAPI.startNew({ name: 'multislit' }, serverSettings);
  const asked = new KernelConnection({ model, serverSettings });
  const code = "import { prompt } from 'multislit'; await prompt('Width?')";
  const future = asked.requestExecute({ code, allow_stdin: true });
  future.done.catch(() => {});
  await new Promise<void>((done) => {
    future.onStdin = () => done();
  });
  const next = new KernelConnection({ model, serverSettings });
  asked.dispose();
  const { content } = await next.requestExecute({ code: '1' }).done;
  expect(content.status).toBe('ok');
  await next.shutdown();
  next.dispose();
});
