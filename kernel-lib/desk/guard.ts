import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import type { Context, MiddlewareHandler } from 'hono';
import { getCookie, setCookie } from 'hono/cookie';
import { escapeText } from '../display/bundle';
import { Refusal } from './refusal';

export const freshToken = (): string => randomBytes(24).toString('base64url');

const digest = (text: string) => createHash('sha256').update(text).digest();
const same = (one: string, other: string) => timingSafeEqual(digest(one), digest(other));

/** Tokens that let a browser in once each. */
interface OneTimeTokens {
  /** @param onUsed told when somebody came in with it */
  issue(onUsed: () => void): string;
  /** True the first time. */
  use(once: string): boolean;
}

export function oneTimeTokens(): OneTimeTokens {
  const waiting = new Map<string, () => void>();
  const keyOf = (once: string) => digest(once).toString('hex');
  return {
    issue(onUsed) {
      const once = freshToken();
      waiting.set(keyOf(once), onUsed);
      return once;
    },
    use(once) {
      const onUsed = waiting.get(keyOf(once));
      waiting.delete(keyOf(once));
      onUsed?.();
      return onUsed !== undefined;
    },
  };
}

const isPage = (c: Context) =>
  c.req.method === 'GET' &&
  (c.req.path === '/' || c.req.path === '/marking' || c.req.path.startsWith('/sheet/'));

/**
 * Lets in only who holds the token, and only pages of this very server.
 *
 * The token comes once in the address, or a token that works once stands in its place; then as a cookie. A browser sends cookies of 127.0.0.1 to and
 * from every port, so with a cookie the Origin must be our own whenever something is changed or a
 * WebSocket opened. The Host is checked so that a foreign name that points to 127.0.0.1 gets nowhere.
 */
export function guard(
  token: string,
  oneTime: OneTimeTokens,
  port: () => number,
): MiddlewareHandler {
  return async (c, next) => {
    const hosts = [`127.0.0.1:${port()}`, `localhost:${port()}`];
    const host = c.req.header('host') ?? '';
    if (!hosts.includes(host))
      throw new Refusal(403, `These worksheets are served only at http://${hosts[0]}/.`);
    const origin = c.req.header('origin');
    if (origin !== undefined && origin !== `http://${host}`)
      throw new Refusal(403, 'These worksheets are not served to pages of other sites.');

    const cookie = `multislit-${port()}`;
    const enter = () =>
      setCookie(c, cookie, token, { httpOnly: true, sameSite: 'Strict', path: '/' });
    const once = c.req.query('once');
    if (once !== undefined && isPage(c)) {
      if (!oneTime.use(once))
        throw new Refusal(
          401,
          'This way in was used before. Open the address that was printed when the worksheets were started.',
        );
      enter();
      // Not a redirect: after one a browser still counts the page on the disk as the one that asks, and keeps the cookie back.
      return c.html(entrancePage(c.req.path));
    }
    const asked = c.req.query('token');
    if (asked !== undefined && same(asked, token) && isPage(c)) {
      enter();
      return c.redirect(c.req.path, 303);
    }
    const bearer = /^(?:token|bearer) (.+)$/i.exec(c.req.header('authorization') ?? '')?.[1];
    const shown = [bearer, asked].some((given) => given !== undefined && same(given, token));
    const known = same(getCookie(c, cookie) ?? '', token);
    if (!shown && !known)
      throw new Refusal(401, 'Open the address that was printed when the worksheets were started.');
    const changes = !['GET', 'HEAD'].includes(c.req.method);
    const socket = c.req.header('upgrade')?.toLowerCase() === 'websocket';
    if (!shown && origin === undefined && (changes || socket))
      throw new Refusal(403, 'These worksheets are not served to pages of other sites.');
    await next();
  };
}

/** Headers of every answer: nothing is run, framed or sent elsewhere. `nonce` marks the page's own style elements. */
export function safetyHeaders(
  port: () => number,
): MiddlewareHandler<{ Variables: { nonce: string } }> {
  return async (c, next) => {
    const nonce = randomBytes(16).toString('base64');
    c.set('nonce', nonce);
    await next();
    const sockets = `ws://127.0.0.1:${port()} ws://localhost:${port()}`;
    const policy = [
      "default-src 'none'",
      "script-src 'self'",
      `style-src 'self' 'nonce-${nonce}'`,
      "style-src-attr 'unsafe-inline'",
      "img-src 'self' data: blob:",
      "font-src 'self' data:",
      `connect-src 'self' ${sockets}`,
      "base-uri 'none'",
      "form-action 'none'",
      "frame-ancestors 'none'",
    ];
    c.header('Content-Security-Policy', policy.join('; '));
    c.header('X-Content-Type-Options', 'nosniff');
    c.header('Referrer-Policy', 'no-referrer');
    c.header('Cross-Origin-Resource-Policy', 'same-origin');
    c.header('Cross-Origin-Opener-Policy', 'same-origin');
    if (!c.res.headers.has('Cache-Control')) c.header('Cache-Control', 'no-store');
  };
}

// As attributes: a page that is refused gets no style sheet either.
const body =
  'margin:3rem auto;max-width:44rem;padding:0 1rem;background:#e9e6dd;color:#1d2430;font:17px/1.55 Georgia,serif';

/** A page that says in one sentence why there is no other. */
export const refusalPage = (message: string): string =>
  `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Worksheets</title><body style="${body}"><h1>Worksheets</h1><p>${escapeText(message)}</p></html>`;

/** A page that goes on to `path` by itself, as a step of this site's own. */
const entrancePage = (path: string): string =>
  `<!doctype html><html lang="en"><meta charset="utf-8"><meta http-equiv="refresh" content="0;url=${escapeText(path)}"><title>Worksheets</title><body style="${body}"><p><a href="${escapeText(path)}">Open the worksheets</a></p></html>`;
