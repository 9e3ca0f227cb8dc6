import { spawnSync } from 'node:child_process';
import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { basename } from 'node:path';
import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { modelReturn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFiles } from '../hostile-file';

const unreadable = /^cannot be read$/;
const model = (student: string) => modelReturn(oneSlit, student);

export const namesAndPlaces: HostileFiles = {
  link: {
    tells: 'Is a link to the instructor’s folder.',
    outcome: unreadable,
    as: (name) => name,
    put: (path) => symlinkSync('..', path),
  },
  'circle-of-links': {
    tells: 'Is a link that leads to itself.',
    outcome: unreadable,
    put: (path) => symlinkSync(basename(path), path),
  },
  'dangling-link': {
    tells: 'Is a link that leads nowhere.',
    outcome: unreadable,
    put: (path) => symlinkSync('/nowhere/at/all', path),
  },
  pipe: {
    tells: 'Is a pipe that never ends.',
    outcome: unreadable,
    put: (path) => spawnSync('mkfifo', [path]),
  },
  socket: {
    tells: 'Is a socket that a program left behind.',
    outcome: unreadable,
    as: (name) => name,
    put(path) {
      const listen =
        "require('net').createServer().listen(process.argv[1], () => process.kill(process.pid, 'SIGKILL'))";
      spawnSync(process.execPath, ['-e', listen, path]);
    },
  },
  'dot-file': {
    tells: 'Has a name that begins with a point, as hidden files have.',
    earns: 'all',
    as: (name) => `${name}/.sheet.ipynb`,
    what: model,
  },
  'folder-named-as-notebook': {
    tells: 'Is a folder that is named like a notebook, with the notebook in it.',
    earns: 'all',
    as: (name) => `${name}.ipynb/sheet`,
    what: model,
  },
  'folders-without-end': {
    tells: 'Lies two hundred folders deep.',
    earns: 'all',
    as: (name) => `${name}/${'down/'.repeat(200)}sheet.ipynb`,
    what: model,
  },
  'name-in-another-encoding': {
    tells: 'Has a name that is not UTF-8.',
    earns: 'all',
    as: (name) => name,
    put(path, student) {
      mkdirSync(path);
      const odd = Buffer.concat([Buffer.from(`${path}/`), Buffer.from([0xdc, 0xe9, 0x2e])]);
      writeFileSync(odd, writeNotebook(model(student)));
    },
  },
  'name-is-a-formula': {
    tells: 'Has a name that a spreadsheet would run.',
    outcome: /^not a notebook$/,
    as: (name) => `=HYPERLINK("x"),${name}.ipynb`,
    what: () => 'x',
  },
  'name-with-line-ends': {
    tells: 'Has line ends and marks that turn the direction of writing in its name.',
    outcome: /^not a notebook$/,
    as: (name) => `${name}.\n\u202e1001,marked\u001b[2J.ipynb`,
    what: () => 'x',
  },
  'in-a-classmates-name': {
    tells: 'Hands in a blank sheet in a class-mate’s name, later than that one did.',
    outcome: /^earlier return$/,
    as: (name, student) => `${student} ${name}.ipynb`,
    what: () => returnOf(oneSlit, '1001'),
    saved: 4e9,
  },
  'stamp-in-the-future': {
    tells: 'Was saved on a computer whose clock is fifty years ahead.',
    earns: 'all',
    remark: /It lies in the future: 2065-01-24/,
    what: model,
    saved: 3e9,
  },
};
