import type { ClassData } from './class-data';

/** How one class did in one question: mean share of its marks, and how far that can be relied on. */
export interface QuestionThen {
  readonly returns: number;
  /** 0…1. */
  readonly facility: number;
  /** Standard uncertainty of the mean, s / √n; null for fewer than two returns. */
  readonly uncertainty: number | null;
}

/** One question in two classes. */
export interface ComparedQuestion {
  readonly sheet: string;
  readonly question: string;
  readonly asks: string;
  readonly now: QuestionThen;
  readonly before: QuestionThen;
  /** now − before. */
  readonly difference: number;
  /** Of the difference; null where one of the two has none. */
  readonly uncertainty: number | null;
  /** What it asked then, where that is something else: the id was given anew, or the question changed. */
  readonly askedThen?: string;
}

/** Two classes side by side. */
export interface ComparedClasses {
  readonly questions: readonly ComparedQuestion[];
  /** `sheet question` of those that only one of the two has. */
  readonly onlyNow: readonly string[];
  readonly onlyThen: readonly string[];
}

type Compared = Pick<ClassData, 'sheets' | 'students'>;

/** Shares of the marks, by `sheet question`; answers that wait for a reader are none. */
function sharesIn({ students }: Compared): Map<string, { asks: string; shares: number[] }> {
  const found = new Map<string, { asks: string; shares: number[] }>();
  for (const { sheets } of students)
    for (const { sheet, questions } of sheets)
      for (const { question, asks, state, marks, outOf } of questions) {
        if (state === 'to be read') continue;
        const id = `${sheet} ${question}`;
        const one = found.get(id) ?? { asks, shares: [] };
        one.shares.push(marks / outOf);
        found.set(id, one);
      }
  return found;
}

function meanOf(shares: readonly number[]): QuestionThen {
  const n = shares.length;
  const mean = shares.reduce((sum, one) => sum + one, 0) / n;
  const squares = shares.reduce((sum, one) => sum + (one - mean) ** 2, 0);
  return {
    ...{ returns: n, facility: mean },
    uncertainty: n > 1 ? Math.sqrt(squares / (n - 1) / n) : null,
  };
}

/**
 * The questions of two classes by sheet and id, with the difference of their facilities and its standard uncertainty,
 * √(s₁²/n₁ + s₂²/n₂) (common practice, no source).
 */
export function compareClasses(now: Compared, then: Compared): ComparedClasses {
  const [here, there] = [sharesIn(now), sharesIn(then)];
  const questions = [...here].flatMap(([id, { asks, shares }]): ComparedQuestion[] => {
    const other = there.get(id);
    if (!other) return [];
    const [a, b] = [meanOf(shares), meanOf(other.shares)];
    const known = a.uncertainty !== null && b.uncertainty !== null;
    const [sheet, question] = id.split(' ');
    return [
      {
        ...{ sheet, question, asks, now: a, before: b },
        difference: a.facility - b.facility,
        uncertainty: known ? Math.hypot(a.uncertainty, b.uncertainty) : null,
        ...(other.asks === asks ? {} : { askedThen: other.asks }),
      },
    ];
  });
  return {
    questions,
    onlyNow: [...here.keys()].filter((id) => !there.has(id)),
    onlyThen: [...there.keys()].filter((id) => !here.has(id)),
  };
}
