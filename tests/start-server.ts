import { spawn, spawnSync } from 'node:child_process';

export interface StartedServer {
  readonly pid: number;
  readonly address: string;
  /** Everything that was printed so far. */
  readonly said: string;
  /** Ctrl-C, as a terminal sends it: to the program and to all that it started. */
  end(): Promise<number | null>;
}

/** Start `npm start`, or the script behind it, and wait until it tells where it serves. */
export async function startServer(
  [program, ...args]: readonly string[],
  cwd: string,
  env: Readonly<Record<string, string>> = {},
): Promise<StartedServer> {
  const isWindows = process.platform === 'win32';
  const child = spawn(program, args, {
    cwd,
    env: { ...process.env, ...env },
    shell: program === 'npm' && isWindows,
    detached: !isWindows,
  });
  const ended = new Promise<number | null>((done) => child.once('exit', done));
  let said = '';
  const address = await new Promise<string>((found, fail) => {
    const listen = (piece: Buffer) => {
      said += piece;
      const match = /Open (http:\S+)[\s\S]*Ctrl-C ends/.exec(said);
      if (match) found(match[1]);
    };
    child.stdout.on('data', listen);
    child.stderr.on('data', listen);
    child.once('error', fail);
    child.once('exit', (code) => fail(new Error(`it ended with ${code}: ${said}`)));
  });
  return {
    pid: child.pid as number,
    address,
    get said() {
      return said;
    },
    async end() {
      // npm hands a signal to its shell, which keeps it to itself: all of the group must get it.
      if (isWindows) spawnSync('taskkill', ['/pid', String(child.pid), '/t', '/f']);
      else process.kill(-(child.pid as number), 'SIGINT');
      return ended;
    },
  };
}
