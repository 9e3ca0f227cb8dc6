import { spawnSync } from 'node:child_process';
import { randomBytes } from 'node:crypto';

function asRoot(program: string, words: readonly string[], input?: string): string {
  const { status, stdout, stderr } = spawnSync(program, words, { encoding: 'utf8', input });
  if (status !== 0)
    throw new Error(`${program} ${words.join(' ')} ended with ${status}: ${stderr}`);
  return stdout;
}

/** A real account of this machine, made for a test and removed with all that it runs. Needs root. */
export class MachineAccount {
  readonly password = randomBytes(12).toString('hex');
  readonly uid: number;

  private constructor(
    readonly name: string,
    readonly home: string,
  ) {
    asRoot('chpasswd', [], `${name}:${this.password}\n`);
    this.uid = Number(asRoot('id', ['-u', name]));
  }

  /** As the guide has it: a home folder that nobody else can open. */
  static create(name: string, home: string, groups: readonly string[]): MachineAccount {
    const closed = ['--create-home', '--home-dir', home, '--key', 'HOME_MODE=0700'];
    const inGroups = groups.length > 0 ? ['--groups', groups.join()] : [];
    asRoot('useradd', [...closed, '--shell', '/bin/sh', ...inGroups, name]);
    return new MachineAccount(name, home);
  }

  processes(): number[] {
    const { stdout } = spawnSync('ps', ['-u', String(this.uid), '-o', 'pid='], {
      encoding: 'utf8',
    });
    return stdout.split('\n').map(Number).filter(Boolean);
  }

  remove(): void {
    for (const pid of this.processes()) process.kill(pid, 'SIGKILL');
    asRoot('userdel', ['--force', '--remove', this.name]);
  }
}

/** Make a group unless there is one; what is returned removes it again. */
export function createGroup(name: string): () => void {
  if (spawnSync('getent', ['group', name]).status === 0) return () => {};
  asRoot('groupadd', [name]);
  return () => void asRoot('groupdel', [name]);
}
