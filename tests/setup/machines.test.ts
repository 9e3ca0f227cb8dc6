import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  rmSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { root } from '../../kernel-lib/setup/places.mjs';
import { node as run } from '../cli/multislit';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'some machine '));
  chmodSync(folder, 0o755);
});
afterEach(() => rmSync(folder, { recursive: true, force: true, maxRetries: 5 }));

const node = (
  args: readonly string[],
  { env, uid }: { env?: Record<string, string>; uid?: number } = {},
) => run(args, { cwd: folder, env, ...(uid === undefined ? {} : { uid, gid: uid }) });

const copy = (...names: string[]) => {
  for (const name of names) cpSync(join(root, name), join(folder, name), { recursive: true });
};

describe('a Node that is too old says so and what to install', () => {
  const pretend = (version: string) => {
    const preload = join(folder, 'preload.cjs');
    writeFileSync(
      preload,
      `Object.defineProperty(process, 'versions', { value: { ...process.versions, node: '${version}' } });`,
    );
    return node(['-r', preload, join(root, 'kernel-lib/setup/node-version.mjs')]);
  };

  // What Vite and Vitest ask for in their manifests: ^20.19.0 || >=22.12.0.
  test.each(['18.20.8', '20.17.0', '20.18.3', '21.7.3', '22.11.0'])('%s', async (version) => {
    const { code, err } = await pretend(version);
    expect(err).toContain(`this is ${version}`);
    expect(err).toMatch(/20\.19 or newer/);
    expect(code).toBe(1);
  });

  test.each(['20.19.0', '22.12.0', '23.0.0', '24.21.0', '26.12.1'])(
    '%s will do',
    async (version) => {
      expect(await pretend(version)).toEqual({ code: 0, out: '', err: '' });
    },
  );
});

describe('a first start without the registry', () => {
  const start = (registry: string) => {
    copy('kernel-lib/setup', 'package.json', 'package-lock.json');
    return node([join(folder, 'kernel-lib/setup/start.mjs')], {
      env: { npm_config_registry: registry, npm_config_cache: join(folder, 'cache') },
    });
  };

  test('a machine that reaches nothing gets a sentence and no stack', async () => {
    const { code, err } = await start('http://127.0.0.1:1/');
    expect(err).toMatch(/The npm registry does not answer|the npm registry does not answer/);
    expect(err).toMatch(/try again/);
    expect(err).not.toMatch(/^\s+at /m);
    expect(err).not.toMatch(/npm error/);
    expect(code).toBe(1);
  });

  test('and so does one behind a wall that swallows everything', async () => {
    const silent = createServer(() => {});
    await new Promise<void>((done) => silent.listen(0, '127.0.0.1', done));
    const { port } = silent.address() as { port: number };
    const open = new Set<{ destroy(): void }>();
    silent.on('connection', (socket) => open.add(socket));
    try {
      const { code, err } = await start(`http://127.0.0.1:${port}/`);
      expect(err).toMatch(/the npm registry does not answer/);
      expect(code).toBe(1);
    } finally {
      for (const socket of open) socket.destroy();
      silent.close();
    }
  });
});

describe('a folder that belongs to somebody else', () => {
  // Root may write everywhere, so there somebody else is asked: the account nobody.
  const uid = process.getuid?.() === 0 ? 65534 : undefined;
  const skip = process.platform === 'win32';
  const lock = () => {
    for (const name of [
      '.',
      '.build',
      ...readdirSync(join(folder, '.build')).map((n) => `.build/${n}`),
    ])
      if (uid === undefined) chmodSync(join(folder, name), 0o555);
  };
  const open = () => {
    if (existsSync(join(folder, '.build'))) chmodSync(join(folder, '.build'), 0o755);
    chmodSync(folder, 0o755);
  };
  afterEach(open);

  const lay = (built: boolean) => {
    copy('kernel-lib/setup', 'package.json', 'package-lock.json', 'data/pictures');
    mkdirSync(join(folder, 'tests'));
    mkdirSync(join(folder, 'worksheets'));
    mkdirSync(join(folder, '.build'));
    copy('tsconfig.json');
    symlinkSync(join(root, 'node_modules'), join(folder, 'node_modules'));
    if (!built) return;
    copy('.build/cli.cjs', '.build/index.cjs', '.build/lock.json', '.build/built.json');
    utimesSync(join(folder, '.build/built.json'), new Date(), new Date(Date.now() - 60_000));
  };

  test.skipIf(skip)('starts its old build with a sentence', async () => {
    lay(true);
    lock();
    const program = join(folder, 'kernel-lib/setup/multislit.mjs');
    const { code, out, err } = await node([program, '--version'], { uid });
    expect(err).toMatch(/newer than the build, and .* cannot be written by this account/);
    expect(out).toMatch(/^\d+\.\d+\.\d+/);
    expect(code).toBe(0);
  });

  test.skipIf(skip)('where nothing is built yet it says who can', async () => {
    lay(false);
    lock();
    const { code, err } = await node([join(folder, 'kernel-lib/setup/multislit.mjs')], { uid });
    expect(err).toMatch(/not built yet, .* npm run build/);
    expect(err).not.toMatch(/^\s+at /m);
    expect(code).toBe(1);
  });

  test.skipIf(skip)(
    'a setup script that is started through a link knows that it is meant',
    async () => {
      lay(false);
      const link = join(folder, 'tests', 'linked');
      symlinkSync(folder, link, 'junction');
      lock();
      const { code, err } = await node([join(link, 'kernel-lib/setup/build.mjs'), '--if-stale'], {
        uid,
      });
      expect(err).toMatch(/not built yet/);
      expect(code).toBe(1);
    },
  );
});

test('a system without ready-built sockets is told so by the kernel, and strips are drawn all the same', async () => {
  copy('package.json');
  mkdirSync(join(folder, '.build'));
  for (const name of readdirSync(join(root, '.build')).filter((name) => name.endsWith('.cjs')))
    copy(join('.build', name));
  mkdirSync(join(folder, 'node_modules/zeromq'), { recursive: true });
  for (const name of readdirSync(join(root, 'node_modules')))
    if (name !== 'zeromq' && name !== '.bin')
      symlinkSync(join(root, 'node_modules', name), join(folder, 'node_modules', name), 'junction');
  writeFileSync(
    join(folder, 'node_modules/zeromq/index.js'),
    "throw new Error('No native build for this system\\nTrying others...');",
  );
  const connection = join(folder, 'connection.json');
  writeFileSync(
    connection,
    JSON.stringify({
      transport: 'tcp',
      ip: '127.0.0.1',
      key: 'k',
      signature_scheme: 'hmac-sha256',
      shell_port: 1,
      iopub_port: 2,
      stdin_port: 3,
      control_port: 4,
      hb_port: 5,
    }),
  );
  const kernel = await node([join(folder, '.build/kernel.cjs'), '--connection', connection]);
  expect(kernel.err).toMatch(/sockets \(package zeromq\) do not load on this system/);
  expect(kernel.err).toMatch(/No native build for this system/);
  expect(kernel.err).not.toMatch(/^\s+at /m);
  expect(kernel.code).toBe(1);

  const picture = join(folder, 'strip.png');
  const args = `strip --slits 2 --width 40um --spacing 100um --light 633nm --to`.split(' ');
  const strip = await node([join(folder, '.build/cli.cjs'), ...args, picture]);
  expect(strip.err).toBe('');
  expect(existsSync(picture)).toBe(true);
});
