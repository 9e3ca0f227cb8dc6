/** True while a process with this id runs, also one of another account. */
export function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // Not allowed to signal it: it is there.
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}
