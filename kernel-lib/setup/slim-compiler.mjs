// The compiler as the browser's checker loads it, without what nobody there can ask for.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { root } from './places.mjs';

/** Everything that asks something of the compiler in a browser. */
const askers = ['node_modules/tslab/dist', 'kernel-lib/cells', 'kernel-lib/web'];

/** Proposals how to change code, and a wrapper of it all for other hosts: neither tslab nor this project has either. */
const isLeftOut = (path) =>
  /^src\/services\/(?:(?:codefixes|refactors)\/|_namespaces\/ts\.(?:codefix|refactor)\b|shims\.ts$)/.test(
    path,
  );

function wordsOfAskers() {
  const words = new Set();
  for (const folder of askers)
    for (const { name, parentPath } of readdirSync(join(root, folder), {
      recursive: true,
      withFileTypes: true,
    }))
      if (/(?<!\.d)\.(?:js|ts)$/.test(name))
        for (const [word] of readFileSync(join(parentPath, name), 'utf8').matchAll(/[\w$]+/g))
          words.add(word);
  return words;
}

/**
 * The text of the compiler's one large file as a module of which the bundler can leave out what nothing reaches: its
 * function around everything opened, its parts told to be without effect where nobody wants them, and of its names only
 * those that stand anywhere in what asks. Its messages stand each by itself, so that those go which nothing left can say, and
 * ways to write for engines older than ES2022 are not offered. All other code stays word for word.
 *
 * @throws Error where another version of the compiler is put together in another way
 */
export function slimCompiler(text, words = wordsOfAskers()) {
  const names = [];
  const replace = (from, to) => {
    const changed = text.replace(from, to);
    if (changed === text)
      throw new Error(`The compiler is not put together as slim-compiler.mjs knows it: no ${from}`);
    text = changed;
  };
  replace('var ts = (() => {', '');
  replace(/ {2}return require_typescript\(\);\n\}\)\(\);\n[\s\S]*$/, '');
  replace(/(all\[name\], enumerable: true \}\);)/, '$1\n    return target;');
  replace(
    /^ {2}var (\w+) = \{\};\n {2}__export\(\1, /gm,
    '  var $1 = /* @__PURE__ */ __export({}, ',
  );
  const gone = new Set();
  replace(/var (init_\w+) = __esm\(\{\n\s*"([^"]+)"/g, (whole, name, path) => {
    if (isLeftOut(path)) gone.add(name);
    return whole.replace('__esm', '/* @__PURE__ */ __esm');
  });
  replace(/^\s*(init_\w+)\(\);\n/gm, (whole, name) => (gone.has(name) ? '' : whole));
  replace(/^ {2}\/\/ (src\/\S+)\n(?:(?! {2}\/\/ src\/).*\n)*/gm, (part, path) =>
    isLeftOut(path) ? part.replace(/__export\(\{\}, \{[\s\S]*?\n {2}\}\)/g, '{}') : part,
  );
  // Each name of a namespace by itself, too.
  const ways = new Map();
  for (const [, space, lines] of text.matchAll(
    /^ {2}var (\w+) = \/\* @__PURE__ \*\/ __export\(\{\}, \{\n([\s\S]*?)^ {2}\}\);\n/gm,
  ))
    for (const [, name, local] of lines.matchAll(/^ *(\w+): \(\) => (\w+),?$/gm))
      ways.set(`${space}.${name}`, local);
  const used = new Set();
  replace(/\b(\w+_exports\w*)\.(\w+)/g, (whole, space, name) => {
    if (!ways.has(whole)) return whole;
    used.add(whole);
    return `${space}$${name}()`;
  });
  for (const whole of used)
    text = `  var ${whole.replace('.', '$')} = () => ${ways.get(whole)};\n${text}`;
  // Cells are written for ES2022 (tslab asks for it by Node's version), with the decorators that tslab asks for.
  replace(
    /^ {4}if \(languageVersion < [1-8] \/\* ES\d+ \*\/\) \{\n(?: {6}transformers\.push\(\w+\);\n)+ {4}\}\n/gm,
    '',
  );
  replace(/ else if \([^\n]*\) \{\n\s*transformers\.push\(transformESDecorators\);\n\s*\}/, '');
  replace(/\n *case 4 \/\* System \*\/:\n *return transformSystemModule;/, '');
  // What its options are for is told by the compiler's own command, which is not here.
  replace(/^ *(?:category|description|defaultValueDescription): Diagnostics\.\w+,?\n/gm, '');
  // Each message by itself, so that the bundler sees which of them can be said. By its key a translation would be found.
  const messages = [];
  replace(
    /^ {8}(\w+): diag\((\s*[\de]+,[^"]*)"\w*"([\s\S]*?)\),?\n(?= {8}\w+: diag\(| {6}\};)/gm,
    (_, name, head, rest) => {
      messages.push(`  var Diagnostics_${name} = /* @__PURE__ */ diag(${head}""${rest});\n`);
      return '';
    },
  );
  replace(/\bDiagnostics\.(?=\w)/g, 'Diagnostics_');
  replace(/^ {2}var Diagnostics;\n/m, () => messages.join(''));
  replace(/^ *Diagnostics = \{\s*\};\n/m, '');
  replace(/^ *Diagnostics: \(\) => Diagnostics,\n/m, '');
  replace(/^( {2}var ts_exports3 = .*\n)([\s\S]*?)(?=^ {2}\}\);)/m, (_, head, lines) => {
    const wanted = lines.split('\n').filter((line) => words.has(/^\s*([\w$]+):/.exec(line)?.[1]));
    for (const line of wanted)
      names.push(line.replace(/^\s*([\w$]+): \(\) => ([\w$]+),?$/, '$2 as $1'));
    return `${head}${wanted.join('\n')}\n`;
  });
  return `${text}\nrequire_typescript();\nexport { ts_exports3 as default, ${names.join(', ')} };\n`;
}
