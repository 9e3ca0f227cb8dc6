import { Hono } from 'hono';
import type { DeskList } from '../travels/listed-sheet';
import type { Sheets } from './sheets';
import { checkedStudentNumber, readStudent } from './student';

/** What the front page asks of the desk, beyond Jupyter's services. */
export function deskRoutes(sheets: Sheets): Hono {
  const app = new Hono();
  const { folder } = sheets;

  app.get('/alive', (c) => c.json({ alive: true }));

  app.get('/sheets', async (c) => {
    const [student, list, others] = await Promise.all([
      readStudent(folder),
      sheets.list(),
      sheets.others(),
    ]);
    const told: DeskList = { folder, student: student ?? null, sheets: list, others };
    return c.json(told);
  });

  app.put('/student', async (c) => {
    const body = (await c.req.json().catch(() => ({}))) as { student?: unknown };
    const student = checkedStudentNumber(body.student);
    await sheets.setStudent(student);
    return c.json({ student });
  });

  app.post('/sheets/:name/open', async (c) => {
    return c.json(await sheets.open(c.req.param('name'), await readStudent(folder)));
  });

  return app;
}
