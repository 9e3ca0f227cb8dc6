import { createHash } from 'node:crypto';

/** Neither vowels, so that no word or power of ten comes about, nor signs that are taken for one another. */
const signs = '23456789bcdfghjkmnpqrstvwxyz';
const own = 7;
const sum = 2;

/** Codes that stand for students, made with a secret of the folder. */
export interface Codes {
  /** The same parts give the same code: a letter, seven signs, two that check these. */
  readonly of: (...parts: string[]) => string;
  /** True for a code made with this secret; of mistyped ones one in 784 passes. */
  readonly isOurs: (code: string) => boolean;
  /** As earlier versions made them: eight hexadecimal digits, which a spreadsheet may take for a number. */
  readonly formerly: (...parts: string[]) => string;
}

/** @example codesWith('secret').isOurs(codesWith('secret').of('02-one-slit 1001', '2.9')) // true */
export function codesWith(secret: string): Codes {
  const digest = (...parts: string[]) =>
    createHash('sha256')
      .update([secret, ...parts].join(' '))
      .digest();
  const signsOf = (count: number, ...parts: string[]) =>
    [...digest(...parts).subarray(0, count)].map((byte) => signs[byte % signs.length]).join('');
  const checked = (body: string) => `w${body}${signsOf(sum, 'check', body)}`;
  return {
    of: (...parts) => checked(signsOf(own, 'code', ...parts)),
    isOurs: (code) => code === checked(code.slice(1, 1 + own)) || /^[0-9a-f]{8}$/.test(code),
    formerly: (...parts) =>
      digest(...parts)
        .toString('hex')
        .slice(0, 8),
  };
}
