import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { ask, launchKernel } from '../../kernel-lib/kernel/client';
import { dataFolder, installKernel, whereKernel } from '../../kernel-lib/kernel/kernelspec';
import { emptyFolder } from './kernel';

describe('launchKernel', () => {
  test('starts in the folder, with the environment, and ends with code 0', async () => {
    const folder = emptyFolder();
    const kernel = await launchKernel({
      cwd: folder.path,
      env: { ...process.env, SLIT: 'narrow' },
    });
    const exits: unknown[] = [];
    kernel.onExit((exit) => exits.push(exit.code));
    const { content } = await ask(kernel, 'shell', 'execute_request', {
      code: '',
      user_expressions: { cwd: 'process.cwd()', env: 'process.env.SLIT' },
    });
    const text = JSON.stringify(content.user_expressions);
    expect(text).toContain(folder.path.split(/[\\/]/).at(-1));
    expect(text).toContain('narrow');
    await kernel.shutdown();
    expect(exits).toEqual([0]);
    await kernel.shutdown();
    expect(() => kernel.send('shell', kernel.compose('kernel_info_request', {}))).toThrow(
      /has ended/,
    );
    folder.remove();
  });

  test('kill() ends it at once, and listeners that come late are told', async () => {
    const kernel = await launchKernel({ cwd: '.' });
    kernel.kill();
    const first = await new Promise<{ signal: string | null }>((done) => kernel.onExit(done));
    expect(first.signal).toBe('SIGKILL');
    await new Promise((done) => kernel.onExit(done));
  });

  test('a folder that is not there is an error that says so', async () => {
    await expect(launchKernel({ cwd: join('no', 'such', 'folder') })).rejects.toThrow(
      /kernel ended/,
    );
  });
});

describe('the kernelspec', () => {
  test('is written where it is told, and found there', async () => {
    const folder = emptyFolder();
    expect(await whereKernel({ dir: folder.path })).toBeUndefined();
    const at = await installKernel({ dir: folder.path });
    expect(at).toBe(join(folder.path, 'kernels', 'multislit'));
    expect(await whereKernel({ dir: folder.path })).toBe(at);
    const spec = JSON.parse(readFileSync(join(at, 'kernel.json'), 'utf8'));
    expect(spec).toMatchObject({
      display_name: 'multislit (TypeScript)',
      language: 'typescript',
      interrupt_mode: 'message',
    });
    expect(spec.argv[0]).toBe(process.execPath);
    expect(spec.argv.at(-1)).toBe('{connection_file}');
    expect(existsSync(spec.argv.find((part: string) => part.endsWith('kernel.cjs')))).toBe(true);
    await installKernel({ dir: folder.path });
    folder.remove();
  });

  // Jupyter documentation, "Common Directories and File Locations", data files.
  test.each([
    [{ JUPYTER_DATA_DIR: '/data' }, 'linux', '/data'],
    [{}, 'linux', join('/home/ada', '.local', 'share', 'jupyter')],
    [{ XDG_DATA_HOME: '/xdg' }, 'linux', join('/xdg', 'jupyter')],
    [{}, 'darwin', join('/home/ada', 'Library', 'Jupyter')],
    [{ APPDATA: 'C:\\Data' }, 'win32', join('C:\\Data', 'jupyter')],
  ] as const)('this user’s folder, %j on %s', (env, platform, folder) => {
    expect(dataFolder(env, platform, '/home/ada')).toBe(folder);
  });
});
