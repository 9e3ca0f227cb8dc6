export type KernelState =
  | { kind: 'starting' }
  | { kind: 'ready' }
  | { kind: 'busy' }
  | { kind: 'restarting' }
  /** The desk does not answer; trying again. */
  | { kind: 'away' }
  /** It ended, or would not start; `why` is a sentence. */
  | { kind: 'ended'; why: string };

/** Says that an execution was cut off: the kernel ended or was restarted while the cell ran. */
export class CutOff extends Error {}
