import { type Context, Hono } from 'hono';
import { limitedBody } from '../desk/limited-body';
import { Refusal } from '../desk/refusal';
import type { ChangedPlace } from '../marking/changed-marks';
import { usualProfile } from '../marking/export-table';
import type { GoingBackTold, MarkingStart, Setting, WhatCameIn } from '../marking/looked-through';
import { unpackLimits } from '../marking/unpack';
import { ownProperty } from '../questions/answer';
import { classRoutes } from './class-told';
import {
  feedbackZip,
  keepProfile,
  peopleOf,
  profilesIn,
  readProfile,
  studentPageIn,
} from './going-back';
import { marksFolder } from './marks-folder';
import { readingRoutes } from './reading';
import { type Folders, rememberedFolders } from './remembered-folders';
import { runsOfMark } from './runs';
import { sayOfFile, takeIn, whatCameIn } from './what-came-in';

type MarksFolder = ReturnType<typeof marksFolder>;

/**
 * What the marking page asks of the desk.
 *
 * @param workFolder where the desk keeps what it remembers
 * @param given a folder of marks
 */
export function markingRoutes(workFolder: string, given: string | undefined): Hono {
  const app = new Hono();
  const folders: Folders = rememberedFolders(workFolder);
  const open = new Map<string, MarksFolder>();

  /** The folder that a request is about. */
  function folderOf(c: Context): MarksFolder {
    const path = c.req.query('folder') ?? '';
    if (path === '') throw new Refusal(400, 'Name a folder of marks.');
    const known = open.get(path);
    if (known) return known;
    const found = marksFolder(path);
    open.set(path, found);
    return found;
  }

  const runs = runsOfMark();
  const small = limitedBody(1024 * 1024, 'This request is larger than any that a page sends here.');
  for (const path of ['/marks', '/undo', '/said', '/run', '/stop', '/profile', '/reading'])
    app.use(path, small);
  const largest = `It has more than ${unpackLimits.archive / 2 ** 20} MB, and that is too large.`;
  app.use('/drop', limitedBody(unpackLimits.archive, largest));

  app.get('/start', (c) => {
    const recent = folders.list();
    const answer: MarkingStart = { folder: given ?? recent[0] ?? null, recent };
    return c.json(answer);
  });

  app.get('/look', (c) => {
    const folder = folderOf(c);
    const looked = folder.look();
    folders.remember(folder.folder);
    return c.json(looked);
  });

  app.get('/answer', (c) => {
    const { student = '', sheet = '', question = '' } = c.req.query();
    return c.json(folderOf(c).answer({ student, sheet, question }));
  });

  readingRoutes(app, folderOf);
  classRoutes(app, folderOf);

  app.get('/history', (c) => c.json(folderOf(c).history()));

  app.post('/marks', async (c) => {
    await folderOf(c).set(settingIn(await c.req.json().catch(() => undefined)));
    return c.json(folderOf(c).look());
  });

  app.post('/undo', async (c) => {
    const body = await c.req.json().catch(() => undefined);
    await folderOf(c).undo(Number(ownProperty(body, 'change')), textIn(body, 'by'));
    return c.json(folderOf(c).look());
  });

  const pathOf = (c: Context): string => {
    const path = c.req.query('folder') ?? '';
    if (path === '') throw new Refusal(400, 'Name a folder of marks.');
    return path;
  };
  const cameInto = (path: string): WhatCameIn => {
    const run = runs.stateOf(path);
    return { ...whatCameIn(path), ...(run ? { run } : {}) };
  };

  app.get('/came', (c) => c.json(cameInto(pathOf(c))));
  app.get('/run', (c) => c.json(runs.stateOf(pathOf(c)) ?? null));

  app.post('/said', async (c) => {
    const body = await c.req.json().catch(() => undefined);
    const student = ownProperty(body, 'student');
    await sayOfFile(
      pathOf(c),
      textIn(body, 'path'),
      typeof student === 'string' ? { student, reason: textIn(body, 'reason') } : undefined,
    );
    return c.json(cameInto(pathOf(c)));
  });

  app.post('/run', async (c) => {
    const body = await c.req.json().catch(() => undefined);
    return c.json(runs.start(pathOf(c), textIn(body, 'returns'), wordsIn(body)));
  });

  app.post('/stop', async (c) => {
    await runs.stop(pathOf(c));
    return c.json(cameInto(pathOf(c)));
  });

  app.post('/drop', async (c) => {
    const { returns = '', path = '', modified = '' } = c.req.query();
    const bytes = new Uint8Array(await c.req.arrayBuffer());
    return c.json({ told: await takeIn(pathOf(c), returns, path, bytes, Number(modified)) });
  });

  app.get('/back', (c) => {
    const { folder, look } = folderOf(c);
    const { grid } = look();
    const people = Object.fromEntries(peopleOf(folder));
    const answer: GoingBackTold = {
      people,
      profiles: profilesIn(folder),
      usual: usualProfile(grid),
    };
    return c.json(answer);
  });

  app.get('/page', (c) => {
    const { folder, look } = folderOf(c);
    const students = look().grid.students.map(({ student }) => student);
    return c.json({ html: studentPageIn(folder, students, c.req.query('student') ?? '') });
  });

  app.get('/pages', (c) => {
    const { folder, look } = folderOf(c);
    const students = look().grid.students.map(({ student }) => student);
    c.header('Content-Type', 'application/zip');
    return c.body(new Uint8Array(feedbackZip(folder, students, peopleOf(folder))));
  });

  app.post('/profile', async (c) => {
    const profile = readProfile(await c.req.json().catch(() => undefined));
    if (!profile) throw new Refusal(400, 'A profile was expected.');
    await keepProfile(folderOf(c).folder, profile);
    return c.json(profilesIn(folderOf(c).folder));
  });

  return app;
}

/** Settings that were typed, as words of `multislit mark`; an empty one says nothing. */
function wordsIn(body: unknown): string[] {
  return ['roster', 'deadline', 'late', 'zone'].flatMap((name) => {
    const value = textIn(body, name).trim();
    return value === '' ? [] : [`--${name}`, value];
  });
}

function textIn(body: unknown, name: string): string {
  const text = ownProperty(body, name);
  return typeof text === 'string' ? text : '';
}

const placeIn = (body: unknown): ChangedPlace => ({
  student: textIn(body, 'student'),
  sheet: textIn(body, 'sheet'),
  question: textIn(body, 'question'),
});

const isMark = (value: unknown): value is number => Number.isFinite(value);

function settingIn(body: unknown): Setting {
  const places = ownProperty(body, 'places');
  const marks = ownProperty(body, 'marks');
  if (!Array.isArray(places) || !(marks === null || isMark(marks)))
    throw new Refusal(400, 'A number of marks was expected.');
  return {
    places: places.map((place) => {
      const seen = ownProperty(place, 'seen');
      return { ...placeIn(place), seen: isMark(seen) ? seen : null };
    }),
    marks,
    reason: textIn(body, 'reason'),
    by: textIn(body, 'by'),
  };
}
