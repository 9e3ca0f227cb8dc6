import { KernelConnection } from '@jupyterlab/services/lib/kernel/default';
import { ServerConnection } from '@jupyterlab/services/lib/serverconnection';
import { call } from './call';

/** A kernel as the desk names it. */
export interface KernelName {
  readonly id: string;
  readonly name: string;
}

/** The kernel of a notebook; the desk starts one when there is none. */
export async function kernelFor(path: string): Promise<KernelName> {
  const asked = { path, name: path, type: 'notebook', kernel: { name: 'multislit' } };
  return (await call<{ kernel: KernelName }>('POST', '/api/sessions', asked)).kernel;
}

/** A line to the kernel, through the desk that this page came from. */
export function connectTo(model: KernelName): KernelConnection {
  const serverSettings = ServerConnection.makeSettings({
    baseUrl: `${location.origin}/`,
    wsUrl: `${location.origin.replace(/^http/, 'ws')}/`,
    appendToken: false,
    token: '',
  });
  const connection = new KernelConnection({ model, serverSettings, handleComms: false });
  // The link asks the desk again by itself; a line that does so too would go on after it was given up.
  return Object.assign(connection, { _reconnectLimit: 0 });
}
