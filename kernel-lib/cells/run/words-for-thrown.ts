/** Each engine says it in its own words: V8, SpiderMonkey, JavaScriptCore. The first group names what it is about. */
interface Entry {
  readonly messages: readonly RegExp[];
  says(about: string): string;
}

const noValue =
  'has no value there (undefined): a place beyond the end of a list, whose places count from 0, a name that it does not have, or what a function without return gave back.';

const entries: readonly Entry[] = [
  {
    messages: [
      /^(\S+) is not a function or its return value is not iterable/,
      /^(.+?) is not iterable/,
    ],
    says: (about) =>
      `A list is needed here to take its places one after the other, and ${named(about)} is none. A list stands in [ ], or comes from .map(…).`,
  },
  {
    messages: [/^(.+?) is not a (?:function|constructor)/],
    says: (about) =>
      `Brackets behind a name call a function, and ${named(about)} is none. For times write *; where a function was meant, look at its name, and whether something else was given that name.`,
  },
  {
    messages: [
      /^Cannot (?:read|set) propert(?:y|ies) of (?:undefined|null) \((?:reading|setting) '([^']*)'\)/,
      /^can't access property "?([^",]+)"?, .* is (?:undefined|null)/,
      /^(?:undefined|null) is not an object \(evaluating '(?:[^']*[.[])?([^'.[\]]+)\]?(?: = [^']*)?'\)/,
    ],
    says: (about) =>
      /^\d+$/.test(about)
        ? `Place ${about} of a list is wanted here, but what stands before the [ ${noValue}`
        : `“${about}” of something is wanted here, but what stands before it ${noValue}`,
  },
  {
    messages: [
      /^Assignment to constant variable()/,
      /^invalid assignment to const '?([^']*)'?/,
      /^Attempted to assign to readonly property()/,
    ],
    says: (about) =>
      `${about ? `“${about}”` : 'What const declares'} keeps its value. Give the new value another name, or declare it by let in the place of const.`,
  },
  {
    messages: [/^Maximum call stack size exceeded()/, /^too much recursion()/],
    says: () =>
      'A function here calls itself without an end. It needs a case in which it returns a value before it calls itself again; or its name was written where another was meant.',
  },
  {
    messages: [
      /^Cannot access '([^']+)' before initialization/,
      /^can't access lexical declaration '([^']+)' before initialization/,
    ],
    says: (about) =>
      `“${about}” is used here before the line that gives it a value. Put that line above this one.`,
  },
  {
    messages: [/^([\p{L}\p{N}_$]+) is not defined/u, /^Can't find variable: ([\p{L}\p{N}_$]+)/u],
    says: (about) =>
      `Nothing is called “${about}” so far. Look at the spelling: capital and small letters count; or run the cell first that makes it.`,
  },
  {
    messages: [/^Invalid array length()/, /^invalid array length()/, /^Array size is not a small/],
    says: () =>
      'A list has a whole number of places, 0 or more. Math.round(…) makes a whole number; look at what was computed for it.',
  },
];

const named = (about: string): string => {
  if (/^[\p{L}_$][\p{L}\p{N}_$.]*$/u.test(about)) return `“${about}”`;
  return /^(?:number|boolean|string|bigint) /.test(about) ? `the ${about}` : 'what stands there';
};

/**
 * What an error that the language itself throws probably means, in plain words; undefined for every other. Errors
 * that a library throws are in words already.
 *
 * @param thrown as it was described
 */
export function wordsForThrown({
  ename,
  evalue,
}: {
  readonly ename: string;
  readonly evalue: string;
}): string | undefined {
  if (!/^(?:Type|Range|Reference)Error$/.test(ename)) return undefined;
  for (const { messages, says } of entries)
    for (const message of messages) {
      const found = message.exec(evalue);
      if (found) return says(found[1] ?? '');
    }
  return undefined;
}
