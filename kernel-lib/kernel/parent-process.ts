import { isAlive } from './is-alive';

const every = 2000;

/** End this kernel when the program that started it is gone. Jupyter gives that program's id in JPY_PARENT_PID. */
export function watchParent(): void {
  const parent = Number(process.env.JPY_PARENT_PID);
  if (!Number.isInteger(parent) || parent <= 1) return;
  setInterval(() => {
    if (!isAlive(parent)) process.kill(process.pid, 'SIGKILL');
  }, every).unref();
}
