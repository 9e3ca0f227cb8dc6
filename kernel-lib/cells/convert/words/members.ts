import { andImport, type Entry, type Finding, replaced, rewritten, type Said } from './finding';
import { methods } from './kinds';

const otherMath: Readonly<Record<string, string>> = {
  ln: 'log',
  arcsin: 'asin',
  arccos: 'acos',
  arctan: 'atan',
  arctan2: 'atan2',
  power: 'pow',
  fabs: 'abs',
  lg: 'log10',
};

function memberOfMath(finding: Finding): Said | undefined {
  const { code, message, text } = finding;
  if ((code !== 2339 && code !== 2551) || !/on type 'Math'/.test(message)) return undefined;
  const [, meant] = /Did you mean '([^']+)'\?/.exec(message) ?? [];
  if (meant?.toLowerCase() === text.toLowerCase())
    return {
      says: `Capital and small letters count: it is Math.${meant}.`,
      changes: replaced(finding, meant),
    };
  const by = otherMath[text];
  if (by)
    return { says: `Math.${text} is called Math.${by} here.`, changes: replaced(finding, by) };
  if (/^(?:sin|cos|tan)d$/.test(text))
    return {
      says: `Math.${text.slice(0, 3)} takes radians: Math.${text.slice(0, 3)}(degrees(30)).`,
    };
  if (/^(?:radians|rad|deg2rad|toRadians)$/.test(text))
    return { says: `degrees(30) makes radians of 30 degrees.${andImport(finding, 'degrees')}` };
  const [, glued] = /^(?:a?(?:sin|cos|tan)|sqrt|exp|log)(\P{ASCII}+)$/u.exec(text) ?? [];
  if (glued) {
    const name = text.slice(0, -glued.length);
    return {
      says: `What a function is to work on stands in brackets: Math.${name}(${glued})`,
      changes: replaced(finding, `${name}(${glued})`),
    };
  }
  return undefined;
}

function memberOfGiven(finding: Finding): Said | undefined {
  const { code, message, text, before, known } = finding;
  if ((code !== 2339 && code !== 2551) || !/\bgiven\.$/.test(before)) return undefined;
  const all = known.givens();
  if (all.length === 0) return undefined;
  const [, near] = /Did you mean '([^']+)'\?/.exec(message) ?? [];
  const meant = near !== undefined && all.includes(near) ? near : undefined;
  return {
    says: `The sheet gives no “${text}”. It gives ${all.map((name) => `given.${name}`).join(', ')}.`,
    changes: meant === undefined ? undefined : replaced(finding, meant),
  };
}

const ofLists: Readonly<Record<string, string>> = {
  append: 'push',
  add: 'push',
  len: 'length',
  size: 'length',
  count: 'length',
  Length: 'length',
};

function memberOfList(finding: Finding): Said | undefined {
  const { code, message, text, source, end, before, at } = finding;
  if ((code !== 2339 && code !== 2551) || !/on type '(?:readonly )?\w+\[\]'/.test(message))
    return undefined;
  const [list] = /[\p{L}_$][\p{L}\p{N}_$.]*(?=\.$)/u.exec(before) ?? ['list'];
  const start = at - list.length - 1;
  const called = /^\(\)/.test(source.slice(end));
  if (/^(?:max|min)$/.test(text))
    return {
      says: `That of a list is Math.${text}(...list), with three points.`,
      changes: called ? [{ start, end: end + 2, text: `Math.${text}(...${list})` }] : undefined,
    };
  if (text === 'sum' || text === 'mean') {
    const sum = `${list}.reduce((sum, x) => sum + x, 0)`;
    return {
      says: 'A list is summed by list.reduce((sum, x) => sum + x, 0); its mean is that divided by list.length.',
      changes: called
        ? [{ start, end: end + 2, text: text === 'sum' ? sum : `${sum} / ${list}.length` }]
        : undefined,
    };
  }
  const by = ofLists[text];
  if (by === undefined) return undefined;
  const isLength = by === 'length';
  return {
    says: isLength
      ? 'The number of values in a list is its length.'
      : 'A value is put at the end of a list by push.',
    changes: [{ start: at, end: isLength && called ? end + 2 : end, text: by }],
  };
}

function memberOfNumber(finding: Finding): Said | undefined {
  const { code, message, text, before, at, end, source } = finding;
  if ((code !== 2339 && code !== 2551) || !/on type '(?:number|-?[\d.e-]+)'/.test(message))
    return undefined;
  const [name] = /[\p{L}_$][\p{L}\p{N}_$.]*(?=\.$)/u.exec(before) ?? [];
  if (!name) return undefined;
  const start = at - name.length - 1;
  const called = source.slice(end).startsWith('()');
  if (/^(?:a?(?:sin|cos|tan)|sqrt|abs|exp|log)$/.test(text) && called)
    return {
      says: `${name} is a plain number, and its ${text} is Math.${text}(${name}).`,
      changes: [{ start, end: end + 2, text: `Math.${text}(${name})` }],
    };
  const sign = Object.entries(methods).find(([, method]) => method === text)?.[0];
  if (sign !== undefined) {
    const [call, other] = /^\(([^()]*)\)/.exec(source.slice(end)) ?? [];
    return {
      says: `${name} is a plain number without an uncertainty: + - * / do, or measured(value, uncertainty) where it has one.`,
      changes: call
        ? [{ start, end: end + call.length, text: `${name} ${sign} ${other}` }]
        : undefined,
    };
  }
  if (text !== 'value' && text !== 'u') return undefined;
  return {
    says: `${name} is a plain number already, without an uncertainty.`,
    changes: text === 'value' ? [{ start: at - 1, end, text: '' }] : undefined,
  };
}

function consoleMember(finding: Finding): Said | undefined {
  const { code, text, before, message } = finding;
  if (code === 2693 && text === 'Console')
    return { says: 'console has a small c.', changes: replaced(finding, 'console') };
  if (
    (code !== 2339 && code !== 2551) ||
    !/on type 'Console'/.test(message) ||
    !before.endsWith('console.')
  )
    return undefined;
  if (!/^(?:print|write|writeLine|println|printf|show|Log)$/i.test(text)) return undefined;
  return { says: 'A value is shown by console.log(…).', changes: replaced(finding, 'log') };
}

function constant(finding: Finding): Said | undefined {
  const { code, text, before, source, end } = finding;
  if (code !== 2588) return undefined;
  const compares = /\b(?:if|while)\s*\($/.test(before) || /\?\s*$/.test(before);
  const [equals] = /^\s*=(?!=)/.exec(source.slice(end)) ?? [];
  if (compares && equals)
    return {
      says: 'One = gives a value. Two things are compared by ===',
      changes: [{ start: end, end: end + equals.length, text: ' ===' }],
    };
  if (text === 'given')
    return {
      says: 'given is what the sheet gives, and stays as it is. Take another name for a value of your own.',
    };
  // Announced by a cell before, or by this one when it read otherwise: each may announce it anew.
  const name = text.replaceAll('$', '\\$');
  const isNamed = new RegExp(`(?<![\\p{L}\\p{N}_$.])${name}(?![\\p{L}\\p{N}_$])`, 'u');
  const isOwn = new RegExp(`\\b(?:const|let|var)\\b[^;=]*${isNamed.source}`, 'u').test(source);
  const value = source.slice(end + (equals?.length ?? 0)).split('\n', 1)[0];
  if (equals && before.trim() === '' && !isOwn && !isNamed.test(value))
    return {
      says: `${text} was announced by const, so its value stays. To announce it anew, const stands before it here as well.`,
      changes: [{ start: finding.at, end: finding.at, text: 'const ' }],
    };
  return {
    says: `${text} was announced by const, so its value stays. Give the new value another name, or announce ${text} by let where it is made.`,
  };
}

function twiceDeclared(finding: Finding): Said | undefined {
  const { code, text, source } = finding;
  if (code !== 2451) return undefined;
  const name = text.replaceAll('$', '\\$');
  const again = new RegExp(
    `(?:\\b(?:const|let|var)\\s+|,\\s*)(${name})(?![\\p{L}\\p{N}_$])\\s*[=;:,]`,
    'gu',
  );
  const places = [...source.matchAll(again)].map(
    (match) => match.index + match[0].indexOf(match[1]),
  );
  const second = places[1];
  return {
    says: `${text} is announced twice in this cell. Give one of them another name, or give the new value without const, where ${text} was announced by let.`,
    ...(second !== undefined && { at: second, end: second + text.length }),
  };
}

function usedBefore(finding: Finding): Said | undefined {
  if (finding.code !== 2448 && finding.code !== 2454) return undefined;
  return {
    says:
      finding.code === 2448
        ? `${finding.text} is used here, above the line that makes it. Lines are worked through from top to bottom.`
        : `${finding.text} has no value yet where it is used.`,
  };
}

function wrongImport(finding: Finding): Said | undefined {
  const { code, text, known, message } = finding;
  if (code === 2307 && /['"]multislits?['"]/i.test(text) && text.slice(1, -1) !== 'multislit')
    return {
      says: "The library is called 'multislit'.",
      changes: replaced(finding, "'multislit'"),
    };
  if (code !== 2305 && code !== 2724) return undefined;
  if (!/multislit/.test(message)) return undefined;
  const same = known.library().find((name) => name.toLowerCase() === text.toLowerCase());
  return {
    says: `The library has nothing that is called ${text}.${same ? ` Capital and small letters count: ${same}` : ''}`,
    changes: same === undefined ? undefined : replaced(finding, same),
  };
}

function tooManyArguments(finding: Finding): Said | undefined {
  const { code, before, message } = finding;
  if (code !== 2554 || !/Expected 1 arguments, but got 2/.test(message)) return undefined;
  if (!/Math\.round\([^()]*,\s*$/.test(before)) return undefined;
  return {
    says: 'Math.round makes a whole number, always. Three decimals: Number(x.toFixed(3)).',
    changes: rewritten(
      finding,
      /Math\.round\(\s*([\p{L}\p{N}_$.]+)\s*,\s*([^()]+?)\s*\)/u,
      'Number($1.toFixed($2))',
    ),
  };
}

function argumentCount(finding: Finding): Said | undefined {
  const { code, message, before, text } = finding;
  const [, wanted, got] =
    /^Expected (\d+(?:-\d+)?|at least \d+) arguments?, but got (\d+)/.exec(message) ?? [];
  if ((code !== 2554 && code !== 2555) || !wanted) return undefined;
  const [name] = /[\p{L}_$][\p{L}\p{N}_$]*(?=\()/u.exec(text) ??
    /[\p{L}_$][\p{L}\p{N}_$]*(?=\([^()]*$)/u.exec(before) ?? ['This function'];
  return {
    says: `${name} takes ${wanted.replace('-', ' to ')} ${wanted === '1' ? 'value' : 'values'} in its brackets, and here ${got === '1' ? 'stands' : 'stand'} ${got}. Rest the mouse on its name, or press F1 in it, to read which.`,
  };
}

/** What things do not have, and what was made of them. */
export const memberEntries: readonly Entry[] = [
  { name: 'name in Math', say: memberOfMath },
  { name: 'name among the givens', say: memberOfGiven },
  { name: 'name of a list', say: memberOfList },
  { name: 'name of a number', say: memberOfNumber },
  { name: 'name of console', say: consoleMember },
  { name: 'value of a const', say: constant },
  {
    name: 'comparison that never holds',
    say({ code, message }) {
      const [, one, other] =
        /because the types '([^']*)' and '([^']*)' have no overlap/.exec(message) ?? [];
      if (code !== 2367 || !one) return undefined;
      const kindsOf = [one, other].map((type) => (/^["'`]|^string$/.test(type) ? 'text' : type));
      if (kindsOf.includes('text') && kindsOf.some((type) => /^-?[\d.]|^number$/.test(type)))
        return {
          says: 'This compares a number with text, and they are never the same. A number stands without quotes.',
        };
      return {
        says: `This compares ${one} with ${other}, which are never the same. What is to change is announced by let, not by const.`,
      };
    },
  },
  { name: 'announced twice', say: twiceDeclared },
  { name: 'used before it is made', say: usedBefore },
  { name: 'wrong import', say: wrongImport },
  { name: 'rounding to decimals', say: tooManyArguments },
  { name: 'number of arguments', say: argumentCount },
];
