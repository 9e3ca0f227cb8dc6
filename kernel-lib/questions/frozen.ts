/**
 * A copy of a student's givens that refuses to be changed, in a sentence that says what to do instead. All parts do, in
 * strict code as in any other; bytes of a picture are the one thing that is handed over as it is.
 *
 * @param given plain objects and lists, with values of any kind in them
 * @param name how a cell calls it
 */
export function frozen<Given extends object>(given: Given, name = 'given'): Given {
  return guarded(given, name) as Given;
}

function guarded(value: unknown, path: string): unknown {
  if (!isPlain(value)) return value;
  const isList = Array.isArray(value);
  const copy: object = isList ? [] : {};
  for (const [key, property] of Object.entries(Object.getOwnPropertyDescriptors(value))) {
    if (isList && key === 'length') continue;
    const part = isList ? `${path}[${key}]` : `${path}.${key}`;
    // What is made when it is first asked for stays so.
    const own = 'value' in property ? { value: guarded(property.value, part) } : {};
    Object.defineProperty(copy, key, { ...property, ...own });
  }
  return new Proxy(Object.freeze(copy), refusals(path, isList));
}

function isPlain(value: unknown): value is object {
  if (typeof value !== 'object' || value === null) return false;
  return Array.isArray(value) || Object.getPrototypeOf(value) === Object.prototype;
}

function refusals(path: string, isList: boolean): ProxyHandler<object> {
  const refuse = (key: string | symbol): never => {
    const part = isList ? `${path}[${String(key)}]` : `${path}.${String(key)}`;
    throw new TypeError(
      isList && !/^\d+$/.test(String(key)) ? sayOfList(path) : sayOfPart(part, isList ? path : ''),
    );
  };
  return {
    set: (_target, key) => refuse(key),
    defineProperty: (_target, key) => refuse(key),
    deleteProperty: (_target, key) => refuse(key),
    setPrototypeOf: () => {
      throw new TypeError(sayOfPart(path, ''));
    },
  };
}

const why = 'belongs to your sheet and cannot be changed, since your answers are judged with it.';
const copied = (list: string) =>
  `Copy the list first, and change the copy: const mine = [...${list}];`;
const sayOfList = (list: string) => `${list} ${why} ${copied(list)}`;

function sayOfPart(part: string, list: string): string {
  if (list !== '') return `${part} ${why} ${copied(list)}`;
  const last = part.split('.').at(-1) ?? '';
  const own = `my${last.slice(0, 1).toUpperCase()}${last.slice(1)}`;
  return `${part} ${why} To try another value, give it a name of your own: const ${own} = …;`;
}
