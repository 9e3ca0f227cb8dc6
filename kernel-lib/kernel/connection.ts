import { randomBytes } from 'node:crypto';
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { dirname, join } from 'node:path';
import { temporaryFolder } from './temporary-folder';

/** What a Jupyter connection file says. */
export interface Connection {
  transport: 'tcp' | 'ipc';
  ip: string;
  shell_port: number;
  iopub_port: number;
  stdin_port: number;
  control_port: number;
  hb_port: number;
  key: string;
  signature_scheme: string;
  kernel_name?: string;
}

export type Port = 'shell' | 'iopub' | 'stdin' | 'control' | 'hb';
const ports: readonly Port[] = ['shell', 'iopub', 'stdin', 'control', 'hb'];

/** Where a socket binds or connects to. */
export function address(connection: Connection, port: Port): string {
  const { transport, ip } = connection;
  const number = connection[`${port}_port`];
  return transport === 'ipc' ? `ipc://${ip}-${number}` : `tcp://${ip}:${number}`;
}

/** Read and check a connection file. */
export function readConnection(file: string): Connection {
  const given = JSON.parse(readFileSync(file, 'utf8')) as Connection;
  for (const port of ports)
    if (!Number.isInteger(given[`${port}_port`]))
      throw new TypeError(
        `The connection file ${file} has no ${port}_port; Jupyter writes one for each kernel.`,
      );
  if (given.key && given.signature_scheme !== 'hmac-sha256')
    throw new TypeError(
      `The connection file asks for signatures by ${given.signature_scheme}; this kernel signs with hmac-sha256.`,
    );
  return { ...given, key: given.key ?? '' };
}

/** Ports that were free a moment ago, all different. */
async function freePorts(count: number): Promise<number[]> {
  const servers = Array.from({ length: count }, () => createServer());
  const found = await Promise.all(
    servers.map(
      (server) =>
        new Promise<number>((done, fail) => {
          server.once('error', fail);
          server.listen(0, '127.0.0.1', () => done((server.address() as { port: number }).port));
        }),
    ),
  );
  await Promise.all(servers.map((server) => new Promise((done) => server.close(done))));
  return found;
}

/** A connection on this machine only, with a fresh key. */
export async function newConnection(): Promise<Connection> {
  const [shell_port, iopub_port, stdin_port, control_port, hb_port] = await freePorts(5);
  return {
    transport: 'tcp',
    ip: '127.0.0.1',
    shell_port,
    iopub_port,
    stdin_port,
    control_port,
    hb_port,
    key: randomBytes(32).toString('hex'),
    signature_scheme: 'hmac-sha256',
    kernel_name: 'multislit',
  };
}

/** Write a connection file that only this user can read, in a folder of its own. */
export function writeConnection(connection: Connection): { file: string; remove(): void } {
  const folder = temporaryFolder('kernel');
  const file = join(folder, 'connection.json');
  writeFileSync(file, JSON.stringify(connection, null, 1), { mode: 0o600 });
  return { file, remove: () => rmSync(dirname(file), { recursive: true, force: true }) };
}
