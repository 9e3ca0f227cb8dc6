import { createRequire } from 'node:module';
import type * as ZeroMQ from 'zeromq';

/**
 * ZeroMQ's sockets, loaded when the first one is asked for: drawing strips and marking do without.
 * Its native part comes ready-built with the package, for the usual systems only.
 *
 * @throws Error with one sentence where there is none for this system
 */
export function zeromq(): typeof ZeroMQ {
  try {
    return createRequire(import.meta.url)('zeromq');
  } catch (error) {
    const [why] = (error as Error).message.split('\n');
    throw new Error(
      `The kernel's sockets (package zeromq) do not load on this system, ${process.platform} ${process.arch} with Node.js ${process.versions.node}: ${why} Ready-built parts come for Windows, macOS and Linux on Intel and ARM. If packages were just installed, run npm ci once more; elsewhere it builds its own with a C++ compiler, CMake and ninja.`,
    );
  }
}
