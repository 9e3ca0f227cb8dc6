import type { QuestionOfClass, SheetOfClass } from './class-data';

/** A question worth a word in class, and why. */
export interface ToDiscuss {
  readonly sheet: string;
  readonly question: string;
  readonly asks: string;
  readonly why: string;
}

const percent = (share: number) => `${Math.round(100 * share)} %`;

function reasons(
  { facility, discrimination, slips, toRead, faults }: QuestionOfClass,
  returns: number,
): string[] {
  if (toRead > 0) return [];
  const common = slips.filter(({ count }) => count >= Math.max(2, returns / 10));
  return [
    ...(facility < 0.5 ? [`${percent(facility)} of the marks were earned`] : []),
    ...(discrimination !== null && discrimination < 0.1 && facility < 0.95
      ? ['those who did well elsewhere did no better here: is the question clear?']
      : []),
    ...(faults >= Math.max(2, returns / 10)
      ? [`${faults} answers did not come out of their cells`]
      : []),
    ...common.slice(0, 2).map(({ slip, count }) => `${count} fell into “${slip}”`),
  ];
}

/** Questions that went badly, that do not tell students apart, or in which many made the same slip. */
export function toDiscuss(sheets: readonly SheetOfClass[]): ToDiscuss[] {
  return sheets.flatMap(({ sheet, returns, questions }) =>
    questions.flatMap((one) => {
      const why = reasons(one, returns).join('; ');
      return returns < 3 || why === ''
        ? []
        : [{ sheet, question: one.question, asks: one.asks, why }];
    }),
  );
}
