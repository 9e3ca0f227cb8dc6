import { Refused, Unreachable } from './call';

/** Why a save did not go through, as a sentence with what to do. */
export function saveFault(error: unknown): string {
  if (error instanceof Unreachable)
    return 'The desk does not answer. Nothing typed is lost while this page stays open; it goes on trying. Has the window with the desk been closed? Start it again there.';
  if (error instanceof Refused && error.stranger)
    return 'The desk was started again. Open the address it printed in this browser; this page then goes on by itself.';
  const { message } = error as Error;
  if (error instanceof Refused && [403, 507].includes(error.status))
    return `${message} Nothing typed is lost while this page stays open.`;
  return message;
}
