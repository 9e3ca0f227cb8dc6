import type { MiddlewareHandler } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { Refusal } from './refusal';

/**
 * Refuses a body of more than `largest` bytes, once all of it has come: a client that still sends when it is
 * answered loses its connection, and the sentence with it.
 *
 * @param sentence what is told, status 413
 */
export const limitedBody = (largest: number, sentence: string): MiddlewareHandler =>
  bodyLimit({
    maxSize: largest,
    async onError(c) {
      const { body } = c.req.raw;
      // A client that goes away meanwhile hears nothing in any case.
      if (body && !body.locked) await body.pipeTo(new WritableStream()).catch(() => {});
      throw new Refusal(413, sentence);
    },
  });
