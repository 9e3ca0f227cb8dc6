import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { copyFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { root } from '../../../kernel-lib/setup/places.mjs';

function run(words: readonly string[], cwd: string): void {
  const { status, stderr } = spawnSync(words[0], words.slice(1), { cwd, encoding: 'utf8' });
  if (status !== 0) throw new Error(`${words.join(' ')} ended with ${status}: ${stderr}`);
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as { port: number };
  server.close();
  return port;
}

/** Debian's JupyterHub, set up in `folder` word for word as the guide says. */
export class HubServer {
  url = '';
  private child: ChildProcess | undefined;
  private said = '';

  constructor(readonly folder: string) {}

  /** The steps of the guide: program, packages, kernelspec, configuration. */
  install(sheets: readonly string[]): void {
    const program = join(this.folder, 'program');
    run(
      [process.execPath, join(root, '.build/cli.cjs'), 'hand-out', '--to', program, ...sheets],
      root,
    );
    run(['npm', 'ci', '--prefer-offline', '--no-audit', '--no-fund'], program);
    const cli = join(program, 'kernel-lib/setup/multislit.mjs');
    run(
      [process.execPath, cli, 'kernel', 'install', '--dir', join(this.folder, 'jupyter')],
      program,
    );
    const file = 'jupyterhub_config.py';
    copyFileSync(join(root, 'worksheets', file), join(this.folder, file));
  }

  async start(): Promise<void> {
    const [front, hub, proxy] = await Promise.all([freePort(), freePort(), freePort()]);
    this.url = `http://127.0.0.1:${front}`;
    const words = [
      ...['-f', join(this.folder, 'jupyterhub_config.py')],
      `--JupyterHub.bind_url=${this.url}`,
      `--JupyterHub.hub_bind_url=http://127.0.0.1:${hub}`,
      `--ConfigurableHTTPProxy.api_url=http://127.0.0.1:${proxy}`,
    ];
    const child = spawn('jupyterhub', words, {
      cwd: this.folder,
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    this.child = child;
    this.said = '';
    for (const stream of [child.stdout, child.stderr])
      stream.setEncoding('utf8').on('data', (text: string) => {
        this.said += text;
      });
    for (const until = Date.now() + 40_000; !/JupyterHub is now running/.test(this.said); ) {
      if (child.exitCode !== null || Date.now() > until)
        throw new Error(`JupyterHub does not serve: ${this.said}`);
      await new Promise((done) => setTimeout(done, 100));
    }
  }

  /** Ends the hub, its proxy and the students' servers, as the service manager does. */
  async stop(): Promise<void> {
    const { child } = this;
    if (!child || child.exitCode !== null) return;
    const gone = once(child, 'exit');
    child.kill('SIGTERM');
    await gone;
  }
}
