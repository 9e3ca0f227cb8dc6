import { Hono } from 'hono';
import type { UpgradeWebSocket, WSContext } from 'hono/ws';
import {
  type FromLecturer,
  LONGEST_FROM_LECTURER,
  readShown,
  type ToLecturer,
} from '../travels/room-talk';
import { Refusal } from './refusal';
import { Room, type RoomLimits, roomAddresses, usualLimits } from './room';

/** What the lecturer's page asks of its desk: at which addresses a room can be opened, and a line that holds one open. */
export class RoomDoor {
  private room: Room | undefined;
  private holder: WSContext | undefined;
  private ending: NodeJS.Timeout | undefined;

  constructor(
    /** The built bench for phones. */
    private readonly folder: string,
    private readonly limits: RoomLimits = usualLimits,
  ) {}

  routes(upgrade: UpgradeWebSocket): Hono {
    const app = new Hono();
    app.get('/', (c) => c.json(roomAddresses()));
    app.get(
      '/line',
      upgrade(() => ({
        onMessage: ({ data }, line) => {
          void this.hear(line, String(data)).catch((error) =>
            this.say(line, { refused: (error as Error).message }),
          );
        },
        onClose: (_event, line) => this.left(line),
      })),
    );
    return app;
  }

  async close(): Promise<void> {
    clearTimeout(this.ending);
    const { room } = this;
    this.room = undefined;
    this.holder = undefined;
    await room?.close();
  }

  private say(line: WSContext | undefined, words: ToLecturer): void {
    if (line?.readyState === 1) line.send(JSON.stringify(words));
  }

  private async hear(line: WSContext, text: string): Promise<void> {
    if (text.length > LONGEST_FROM_LECTURER) return;
    const asked = JSON.parse(text) as FromLecturer;
    if ('open' in asked) await this.open(line, String(asked.open?.at));
    else if ('again' in asked) this.resume(line, String(asked.again));
    else if (line.raw !== this.holder?.raw) return;
    else if ('show' in asked) this.show(asked.show);
    else if ('end' in asked) {
      await this.close();
      this.say(line, { ended: true });
    }
  }

  private async open(line: WSContext, at: string): Promise<void> {
    if (this.holder && this.holder.raw !== line.raw)
      throw new Refusal(
        409,
        'A room is open already from another page of these worksheets: close it there.',
      );
    await this.close();
    this.holder = line;
    const onCount = (people: number, answers: number) => this.say(this.holder, { people, answers });
    try {
      this.room = await Room.open({ folder: this.folder, at, limits: this.limits, onCount });
    } catch (error) {
      this.holder = undefined;
      throw error;
    }
    // The page may have gone meanwhile.
    if (line.readyState !== 1) return this.left(line);
    this.say(line, { opened: this.room.facts });
    this.room.counted();
  }

  private resume(line: WSContext, code: string): void {
    const { room } = this;
    if (!room || room.code !== code) {
      this.say(line, { ended: true });
      return;
    }
    clearTimeout(this.ending);
    this.holder = line;
    this.say(line, { opened: room.facts });
    if (room.expected) this.say(line, room.expected);
    room.counted();
  }

  private show(data: unknown): void {
    const shown = readShown(data);
    if (!shown || !this.room) return;
    const before = this.room.expected?.gathered;
    this.room.show(shown);
    const { expected } = this.room;
    if (expected && expected.gathered !== before) this.say(this.holder, expected);
  }

  /** The room ends with its page; one that is only loaded anew is waited for. */
  private left(line: WSContext): void {
    if (line.raw !== this.holder?.raw) return;
    this.holder = undefined;
    clearTimeout(this.ending);
    this.ending = setTimeout(() => void this.close(), this.limits.grace);
    this.ending.unref();
  }
}
