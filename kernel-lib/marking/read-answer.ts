import { longestList, type PlainAnswer, type PlainNumber } from '../questions/plain-answer';
import { own } from './own';

/** Longer texts are no answer to any question. */
const longest = 1000;
const odd: PlainAnswer = { is: 'other', kind: 'something that cannot be read' };

function isNumber(value: unknown): value is PlainNumber {
  return Number.isFinite(value) || value === 'NaN' || value === 'Infinity' || value === '-Infinity';
}

/** A fresh answer made of what an untrusted process wrote; odd forms become an answer that no question takes. */
export function readPlainAnswer(value: unknown, depth = 0): PlainAnswer {
  const number = own(value, 'value');
  const text = (name: string) => {
    const found = own(value, name);
    return typeof found === 'string' ? found.slice(0, longest) : '';
  };
  switch (own(value, 'is')) {
    case 'blank':
      return { is: 'blank' };
    case 'number':
      return isNumber(number) ? { is: 'number', value: number } : odd;
    case 'measured': {
      const u = own(value, 'u');
      return isNumber(number) && isNumber(u) ? { is: 'measured', value: number, u } : odd;
    }
    case 'quantity':
      return isNumber(number)
        ? { is: 'quantity', value: number, si: text('si'), text: text('text') }
        : odd;
    case 'text':
      return { is: 'text', text: text('text') };
    case 'list': {
      const items = own(value, 'items');
      if (!Array.isArray(items) || items.length > longestList || depth > 1) return odd;
      return { is: 'list', items: items.map((item) => readPlainAnswer(item, depth + 1)) };
    }
    case 'samples': {
      const values = own(value, 'values');
      return Array.isArray(values) && values.length <= longestList && values.every(isNumber)
        ? { is: 'samples', values }
        : odd;
    }
    case 'failed':
      return { is: 'failed', problem: text('problem') };
    case 'other':
      return { is: 'other', kind: text('kind') };
    default:
      return odd;
  }
}
