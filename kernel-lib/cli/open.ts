import { existsSync } from 'node:fs';
import { homedir } from 'node:os';
import { join, resolve } from 'node:path';
import { Command, InvalidArgumentError } from 'commander';
import { type Desk, startDesk } from '../desk/desk';
import { layWayIn, type WayIn } from '../desk/notes-in-folder';
import { Refusal } from '../desk/refusal';
import { checkedStudentNumber } from '../desk/student';
import { launchKernel } from '../kernel/client';
import { built, homeRequire } from '../kernel/home';
import { sheetNames } from '../kernel/sheets';
import { readableTime } from '../marker/hand-out-facts';

interface OpenOptions {
  port?: number;
  browser: boolean;
  student?: string;
  marks?: string;
}

/** Tried first, so that a page left open finds its desk again after a restart. */
const usualPort = 4707;

function portNumber(text: string): number {
  const port = Number(text);
  if (!/^\d+$/.test(text) || port > 65535)
    throw new InvalidArgumentError(
      'A port is a whole number from 1 to 65535 (0 takes any free one).',
    );
  return port;
}

/** `multislit open`: the worksheets in the browser, until Ctrl-C. */
export function openCommand(): Command {
  return new Command('open')
    .description('Open the worksheets in the browser; Ctrl-C ends.')
    .argument('[folder]', 'where your worksheets are kept', join(homedir(), 'multislit'))
    .option('--port <number>', 'serve at this port', portNumber)
    .option('--no-browser', 'only print the address')
    .option('--student <number>', 'your student number')
    .option('--marks <folder>', 'look through the marks in this folder (not in a hand-out)')
    .action(open);
}

async function open(given: string, { port, browser, student, marks }: OpenOptions): Promise<void> {
  const folder = resolve(given);
  if (marks !== undefined && !hasMarking())
    throw new Error('There are no keys here, so there is nothing to mark with: leave --marks out.');
  const number = student === undefined ? undefined : checkedStudentNumber(student);
  const desk = await start(folder, port, marks);
  // From now on, so that what is begun below is also put away when it is stopped half-way.
  const stopped = untilStopped();
  let way: WayIn | undefined;
  try {
    if (number !== undefined) await desk.sheets.setStudent(number);
    if (desk.other)
      console.log(
        `These worksheets are open already, at port ${desk.other.port} (process ${desk.other.pid}). Nothing is lost when both are used, but it is easier with one: end the other with Ctrl-C.`,
      );
    tellHandOut();
    console.log(`Your worksheets are kept in ${folder}`);
    const opened = (address: string) =>
      marks === undefined
        ? address
        : Object.assign(new URL(address), { pathname: '/marking' }).href;
    console.log(`Open ${opened(desk.address)}`);
    console.log('Ctrl-C ends.');
    if (browser) {
      way = layWayIn(folder, opened(desk.once(() => way?.remove())));
      await openInBrowser(way.address);
    }
    await tellProblems(desk);
    await stopped;
  } finally {
    way?.remove();
    await desk.close();
  }
}

/** Keys and the marking page are in a working copy; a hand-out has neither. */
const hasMarking = () =>
  existsSync(built('marking/index.html')) &&
  sheetNames().some((name) => existsSync(built(`worksheets/${name}/key.cjs`)));

async function start(
  folder: string,
  port: number | undefined,
  marks: string | undefined,
): Promise<Desk> {
  const options = {
    ...(hasMarking() ? { marking: await markingFor(folder, marks) } : {}),
    ...(existsSync(built('room/index.html')) ? { room: built('room') } : {}),
    folder,
    worksheets: built('worksheets'),
    page: built('page'),
    prepare: true,
    // With its parent's id the kernel ends by itself when the desk is killed.
    launch: () => launchKernel({ cwd: folder }),
  };
  if (port !== undefined) return startDesk({ ...options, port });
  return startDesk({ ...options, port: usualPort }).catch((error) => {
    if (error instanceof Refusal && error.status === 409) return startDesk({ ...options, port: 0 });
    throw error;
  });
}

async function markingFor(folder: string, marks: string | undefined) {
  const { markingRoutes } = await import('../markbook/marking-routes');
  const given = marks === undefined ? undefined : resolve(marks);
  return { page: built('marking'), routes: markingRoutes(folder, given) };
}

/** Course and deadline, where the instructor gave them to the hand-out. */
function tellHandOut(): void {
  const { course, deadline } = homeRequire('./package.json').multislit ?? {};
  const due = deadline && `Hand in by ${readableTime(deadline)}.`;
  if (course || due) console.log([course && `${course}.`, due].filter(Boolean).join(' '));
}

async function tellProblems({ sheets }: Desk): Promise<void> {
  const listed = [...(await sheets.list()), ...(await sheets.others())];
  for (const { problem } of listed) if (problem) console.error(problem);
}

async function openInBrowser(address: string): Promise<void> {
  try {
    const { default: openPage } = await import('open');
    const child = await openPage(address);
    child.on('error', tellNoBrowser);
    // The program that hands the address to a browser ends at once; with another code than 0 there was none.
    child.on('exit', (code) => code && tellNoBrowser());
  } catch {
    tellNoBrowser();
  }
}

const tellNoBrowser = () => console.log('No browser could be opened: open the address yourself.');

/** Ctrl-C, the terminal closing, or being asked to end. A second Ctrl-C ends without ado. */
function untilStopped(): Promise<void> {
  return new Promise((done) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP', 'SIGBREAK'] as const)
      process.once(signal, () => done());
  });
}
