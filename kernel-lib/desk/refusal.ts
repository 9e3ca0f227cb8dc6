import type { ContentfulStatusCode } from 'hono/utils/http-status';

/** Something the desk refuses, as one sentence for the reader and the HTTP status that goes with it. */
export class Refusal extends Error {
  override readonly name = 'Refusal';

  constructor(
    readonly status: ContentfulStatusCode,
    message: string,
  ) {
    super(message);
  }
}

const sentences: Record<string, [ContentfulStatusCode, string]> = {
  ENOENT: [404, 'is not there any more'],
  EACCES: [
    403,
    'may not be read or written by you: change its permissions or choose another folder',
  ],
  EPERM: [
    403,
    'may not be read or written by you: change its permissions or choose another folder',
  ],
  EBUSY: [423, 'is held open by another program: close it there, then it is saved by itself'],
  EROFS: [403, 'lies on a disk that cannot be written: make it writable or choose another folder'],
  ENOSPC: [507, 'does not fit: the disk is full. Free some space, then it is saved by itself'],
  EDQUOT: [507, 'does not fit: your share of the disk is used up. Free some space'],
  EFBIG: [507, 'does not fit: the disk takes no more of it. Free some space'],
  EISDIR: [400, 'is a folder, not a file'],
  ENOTDIR: [400, 'does not lie in a folder'],
  ENAMETOOLONG: [400, 'has too long a name'],
};

/** The sentence for an error of the file system; `name` is what the reader calls the file. Other errors pass through. */
export function fileRefusal(error: unknown, name: string): unknown {
  const code = (error as NodeJS.ErrnoException | undefined)?.code ?? '';
  const known = sentences[code];
  return known ? new Refusal(known[0], `${name} ${known[1]}.`) : error;
}
