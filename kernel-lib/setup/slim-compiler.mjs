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
 * those that stand anywhere in what asks. Its code stays word for word.
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
  replace(/^( {2}var ts_exports3 = .*\n)([\s\S]*?)(?=^ {2}\}\);)/m, (_, head, lines) => {
    const wanted = lines.split('\n').filter((line) => words.has(/^\s*([\w$]+):/.exec(line)?.[1]));
    for (const line of wanted)
      names.push(line.replace(/^\s*([\w$]+): \(\) => ([\w$]+),?$/, '$2 as $1'));
    return `${head}${wanted.join('\n')}\n`;
  });
  return `${text}\nrequire_typescript();\nexport { ts_exports3 as default, ${names.join(', ')} };\n`;
}
