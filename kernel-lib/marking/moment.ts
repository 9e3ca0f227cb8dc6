/** A moment that a person typed. */
export interface Moment {
  /** ms since 1970. */
  readonly time: number;
  /** As typed, without blanks around it. */
  readonly said: string;
  /** The zone that was taken where none was typed. */
  readonly zone?: string;
  /** Only a day was typed: the moment is its end. */
  readonly isDay: boolean;
}

const form =
  /^(\d{4})-(\d\d)-(\d\d)(?:[T ](\d\d):(\d\d)(?::(\d\d)(?:\.\d+)?)?\s*(Z|[+-]\d\d:?\d\d)?)?$/i;

const minute = 60_000;

/**
 * How far the clocks of a zone are before UTC at a moment, ms.
 *
 * @param zone as the IANA names zones, such as `Europe/Berlin`
 * @throws RangeError when there is no such zone
 */
export function zoneOffset(time: number, zone: string): number {
  const parts = new Intl.DateTimeFormat('en-GB', {
    ...{ timeZone: zone, hourCycle: 'h23', era: 'short' },
    ...{ year: 'numeric', month: 'numeric', day: 'numeric' },
    ...{ hour: 'numeric', minute: 'numeric', second: 'numeric' },
  }).formatToParts(time);
  const part = (type: string) => Number(parts.find((one) => one.type === type)?.value);
  const shown = Date.UTC(
    part('year'),
    part('month') - 1,
    part('day'),
    part('hour'),
    part('minute'),
  );
  return shown + 1000 * part('second') - Math.floor(time / 1000) * 1000;
}

/** The moment at which clocks in a zone show a time. Where they show it twice, the first; where never, after the gap. */
function inZone(clock: number, zone: string): number {
  const day = 24 * 60 * minute;
  const [before, after] = [clock - day, clock + day].map((time) => zoneOffset(time, zone));
  const first = clock - before;
  return zoneOffset(first, zone) === before ? first : clock - after;
}

/** A time zone of this name, or undefined. */
export function knownZone(zone: string): string | undefined {
  try {
    return new Intl.DateTimeFormat('en', { timeZone: zone }).resolvedOptions().timeZone && zone;
  } catch {
    return undefined;
  }
}

/**
 * Read a moment: a day such as 2026-12-04, which means its end; a day and time such as 2026-12-04T18:00, by the clocks
 * of `zone`; or with its own zone, 2026-12-04T18:00+01:00.
 *
 * @returns undefined where it is none of these, or no day of the calendar
 * @example readMoment('2026-12-04', 'UTC')?.time // 1796428800000
 */
export function readMoment(text: string, zone: string): Moment | undefined {
  const said = text.trim();
  const match = form.exec(said);
  if (!match) return undefined;
  const [year, month, day, hour, minutes, seconds] = match
    .slice(1, 7)
    .map((part) => Number(part ?? 0));
  const isDay = match[4] === undefined;
  const midnight = Date.UTC(year, month - 1, day);
  const date = new Date(midnight);
  const isDayOfCalendar = date.getUTCMonth() === month - 1 && date.getUTCDate() === day;
  if (year < 1970 || !isDayOfCalendar) return undefined;
  const isEnd = hour === 24 && minutes === 0 && seconds === 0;
  if ((hour > 23 && !isEnd) || minutes > 59 || seconds > 59) return undefined;
  const clock = midnight + (isDay ? 24 * 60 : 60 * hour + minutes) * minute + 1000 * seconds;
  const typedZone = match[7]?.toUpperCase();
  if (typedZone === undefined) return { time: inZone(clock, zone), said, zone, isDay };
  const [, sign, hours, rest] = /^([+-])(\d\d):?(\d\d)$/.exec(typedZone) ?? ['', '+', '0', '0'];
  const offset = (sign === '-' ? -1 : 1) * (60 * Number(hours) + Number(rest)) * minute;
  return { time: clock - offset, said, isDay };
}

const two = (value: number) => String(value).padStart(2, '0');

/** `+01:00` for an hour before UTC. */
export function offsetSaid(offset: number): string {
  const size = Math.abs(Math.round(offset / minute));
  return `${offset < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/** A moment by the clocks of a zone, as ISO 8601 writes it, to the minute: 2026-12-04T18:00+01:00. */
export function writeMoment(time: number, zone: string): string {
  const offset = zoneOffset(time, zone);
  return `${new Date(time + offset).toISOString().slice(0, 16)}${offsetSaid(offset)}`;
}

/** A moment by the clocks of a zone, for people: `2026-12-04 18:00 (Europe/Berlin)`. */
export const clockSaid = (time: number, zone: string): string =>
  `${writeMoment(time, zone).slice(0, 16).replace('T', ' ')} (${zone})`;

/** What was typed in full, for people: `the end of 2026-12-04 (Europe/Berlin, +01:00)`. */
export function momentSaid({ said, time, zone, isDay }: Moment): string {
  if (isDay)
    return `the end of ${said} (${zone === undefined ? '' : `${zone}, `}${offsetSaid(zoneOffset(time - 1, zone ?? 'UTC'))})`;
  if (zone !== undefined) return `${said} (${zone}, ${offsetSaid(zoneOffset(time, zone))})`;
  return said;
}
