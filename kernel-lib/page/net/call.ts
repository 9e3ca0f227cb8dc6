/** The desk answered, but refused; the message is its sentence. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    message: string,
  ) {
    super(message);
  }

  /** True when the desk is another one than this page came from: it was started again. */
  get stranger(): boolean {
    return this.status === 401;
  }
}

/** Nothing answered: the desk has ended, or is being started again. */
export class Unreachable extends Error {}

/** Ask the desk for JSON. */
export async function call<T>(
  method: 'GET' | 'PUT' | 'POST' | 'DELETE',
  path: string,
  body?: unknown,
  headers: Record<string, string> = {},
): Promise<T> {
  let answer: Response;
  try {
    answer = await fetch(path, {
      method,
      headers: body === undefined ? headers : { 'Content-Type': 'application/json', ...headers },
      body: body === undefined ? undefined : JSON.stringify(body),
      cache: 'no-store',
      credentials: 'same-origin',
    });
  } catch {
    throw new Unreachable('The desk does not answer.');
  }
  if (answer.status === 204) return undefined as T;
  const value = await answer.json().catch(() => ({}));
  if (!answer.ok)
    throw new Refused(answer.status, value.message ?? `The desk refused (${answer.status}).`);
  return value as T;
}
