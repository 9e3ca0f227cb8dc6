import { type Context, Hono } from 'hono';
import { limitedBody } from '../desk/limited-body';
import { Refusal } from '../desk/refusal';
import type { ChangedPlace } from '../marking/changed-marks';
import { compareClasses } from '../marking/compare-classes';
import { usualProfile } from '../marking/export-table';
import type {
  ClassToSet,
  GoingBackTold,
  MarkingStart,
  Setting,
  WhatCameIn,
} from '../marking/looked-through';
import { type RosterColumns, rosterKinds } from '../marking/roster';
import { unpackLimits } from '../marking/unpack';
import { ownProperty } from '../questions/answer';
import { droppedRoster, grantDays, returnsFor, takeRoster, wordsFor } from './class-setup';
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
import { sayOfFile, stateOfReturns, takeIn, whatCameIn } from './what-came-in';

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
  for (const path of ['/class', '/days', '/watch']) app.use(path, small);
  const largest = `It has more than ${unpackLimits.archive / 2 ** 20} MB, and that is too large.`;
  app.use('/drop', limitedBody(unpackLimits.archive, largest));
  app.use('/roster', limitedBody(8 * 2 ** 20, 'A class list of more than 8 MB is none.'));

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
    // Each keeps what was set: one after the other, so that neither loses what the other kept.
    await runs.quiet(pathOf(c));
    return c.json(runs.start(pathOf(c), textIn(body, 'returns'), wordsFor(toSetIn(body))));
  });

  app.post('/stop', async (c) => {
    await runs.stop(pathOf(c));
    return c.json(cameInto(pathOf(c)));
  });

  /** Keep what was set, and list what came in by it. */
  async function look(path: string, what: ClassToSet): Promise<void> {
    const returns = returnsFor(path, what.returns ?? '');
    await runs.look(path, returns, wordsFor(what));
    watched.set(path, { looked: stateOfReturns(returns) });
  }

  /** How the returns of a folder looked when they were listed, and how they look since they changed. */
  const watched = new Map<string, { readonly looked: string; readonly seen?: string }>();

  app.post('/class', async (c) => {
    const path = pathOf(c);
    await look(path, toSetIn(await c.req.json().catch(() => undefined)));
    return c.json(cameInto(path));
  });

  app.post('/roster', async (c) => {
    const path = pathOf(c);
    const rosterColumns = columnsIn(JSON.parse(c.req.query('columns') ?? '{}'));
    const bytes = new Uint8Array(await c.req.arrayBuffer());
    const taken = await takeRoster(path, bytes, rosterColumns);
    if (taken.problem !== undefined) return c.json({ taken });
    await look(path, { roster: droppedRoster(path), rosterColumns });
    return c.json({ taken, came: cameInto(path) });
  });

  app.post('/days', async (c) => {
    const body = await c.req.json().catch(() => undefined);
    const days = ownProperty(body, 'days');
    await grantDays(pathOf(c), {
      ...{ student: textIn(body, 'student').trim(), sheet: textIn(body, 'sheet') },
      ...{ reason: textIn(body, 'reason'), days: typeof days === 'number' ? days : undefined },
    });
    return c.json(cameInto(pathOf(c)));
  });

  // Files that are still being copied are waited for: they are listed when they look the same twice.
  app.post('/watch', async (c) => {
    const path = pathOf(c);
    const returns = returnsFor(path, '');
    const now = stateOfReturns(returns);
    const { looked, seen } = watched.get(path) ?? { looked: undefined, seen: now };
    const isRunning = runs.stateOf(path)?.is === 'running';
    if (now === looked || isRunning) return c.json({ came: null });
    if (now !== seen) {
      watched.set(path, { looked: looked ?? '', seen: now });
      return c.json({ came: null });
    }
    await look(path, {});
    return c.json({ came: cameInto(path) });
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

  app.get('/compare', (c) => {
    const other = (c.req.query('with') ?? '').trim();
    if (other === '') throw new Refusal(400, 'Name the other folder of marks.');
    return c.json(compareClasses(folderOf(c).marked(), marksFolder(other).marked()));
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

function columnsIn(value: unknown): RosterColumns {
  return Object.fromEntries(
    rosterKinds.flatMap((kind) => {
      const name = textIn(value, kind).trim();
      return name === '' ? [] : [[kind, name]];
    }),
  );
}

/** What was set of a class; the marker judges whether it can be used. */
function toSetIn(body: unknown): ClassToSet {
  const at = (name: string): unknown => ownProperty(body, name);
  const texts = (value: unknown) =>
    Array.isArray(value) ? value.filter((one) => typeof one === 'string') : undefined;
  const text = (name: string) => (typeof at(name) === 'string' ? (at(name) as string) : undefined);
  const is = (name: string) => (typeof at(name) === 'boolean' ? (at(name) as boolean) : undefined);
  const again = at('again');
  const columns = at('rosterColumns');
  const found = {
    ...{ returns: text('returns'), roster: text('roster'), deadline: text('deadline') },
    ...{ zone: text('zone'), sheets: texts(at('sheets')) },
    late: isMark(at('late')) ? (at('late') as number) : undefined,
    count: text('count') as ClassToSet['count'],
    solutions: text('solutions') as ClassToSet['solutions'],
    ...{ groups: is('groups'), believeTimes: is('believeTimes') },
    rosterColumns: columns === undefined ? undefined : columnsIn(columns),
    again: Array.isArray(again)
      ? again.map((one) => ({
          until: textIn(one, 'until').trim(),
          cap: Number(ownProperty(one, 'cap')),
        }))
      : undefined,
  };
  return Object.fromEntries(
    Object.entries(found).filter(([, value]) => value !== undefined),
  ) as ClassToSet;
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
