import { Hono } from 'hono';
import type { UpgradeWebSocket } from 'hono/ws';
import type { Kernel, Kernels, Line } from './kernels';
import { Refusal } from './refusal';
import { decode, encode } from './wire';

const spec = {
  argv: [],
  display_name: 'TypeScript (multislit)',
  language: 'typescript',
  interrupt_mode: 'message',
  env: {},
  metadata: {},
};

const sessionModel = (session: { id: string; path: string; kernel: Kernel }) => ({
  id: session.id,
  path: session.path,
  name: session.path,
  type: 'notebook',
  kernel: session.kernel.model(),
  notebook: { path: session.path, name: session.path },
});

/** Jupyter's REST and WebSocket services for kernels, kernelspecs and sessions. */
export function kernelRoutes(kernels: Kernels, upgrade: UpgradeWebSocket): Hono {
  const app = new Hono();

  app.get('/kernelspecs', (c) =>
    c.json({
      default: 'multislit',
      kernelspecs: { multislit: { name: 'multislit', spec, resources: {} } },
    }),
  );

  app.get('/sessions', (c) => c.json(kernels.sessionList().map(sessionModel)));
  app.post('/sessions', async (c) => {
    const { path } = (await c.req.json().catch(() => ({}))) as { path?: unknown };
    if (typeof path !== 'string' || path === '')
      throw new Refusal(400, 'A session needs the path of its notebook.');
    const session = kernels.sessionFor(path);
    if (session.kernel.state === 'dead') await session.kernel.restart();
    await session.kernel.ready;
    return c.json(sessionModel(session), 201);
  });

  app.get('/kernels', (c) => c.json(kernels.list().map((kernel) => kernel.model())));
  app.post('/kernels', async (c) => {
    const kernel = kernels.start();
    await kernel.ready;
    return c.json(kernel.model(), 201);
  });
  app.get('/kernels/:id', (c) => c.json(kernels.find(c.req.param('id')).model()));
  app.delete('/kernels/:id', async (c) => {
    await kernels.remove(c.req.param('id'));
    return c.body(null, 204);
  });
  app.post('/kernels/:id/interrupt', async (c) => {
    await kernels.find(c.req.param('id')).interrupt();
    return c.body(null, 204);
  });
  app.post('/kernels/:id/restart', async (c) => {
    const kernel = kernels.find(c.req.param('id'));
    await kernel.restart();
    return c.json(kernel.model());
  });

  app.get(
    '/kernels/:id/channels',
    async (c, next) => {
      kernels.find(c.req.param('id'));
      await next();
    },
    upgrade((c) => {
      const kernel = kernels.find(c.req.param('id') ?? '');
      let line: Line | undefined;
      return {
        onOpen: (_event, socket) => {
          const deliver: Line['deliver'] = (message) =>
            socket.send(encode(message, socket.protocol ?? '') as string | ArrayBuffer);
          line = {
            session: c.req.query('session_id') ?? '',
            deliver,
            hangUp: () => socket.close(1001),
          };
          kernel.lines.add(line);
        },
        onMessage: ({ data }, socket) => {
          try {
            const frame = typeof data === 'string' ? data : new Uint8Array(data as ArrayBuffer);
            kernel.send(decode(frame, socket.protocol ?? '')).catch(() => socket.close(1011));
          } catch {
            socket.close(1003, 'not a Jupyter message');
          }
        },
        onClose: () => {
          if (line) kernel.leave(line);
        },
      };
    }),
  );
  return app;
}
