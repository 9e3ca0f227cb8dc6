const every = 2000;

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // Not allowed to signal it: it is there.
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/** End this kernel when the program that started it is gone. Jupyter gives that program's id in JPY_PARENT_PID. */
export function watchParent(): void {
  const parent = Number(process.env.JPY_PARENT_PID);
  if (!Number.isInteger(parent) || parent <= 1) return;
  setInterval(() => {
    if (!isAlive(parent)) process.kill(process.pid, 'SIGKILL');
  }, every).unref();
}
