// Types of what `begin` gives for each sheet, cut out of the sheets' own sources: cells complete `given.` with them.
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** What a sheet's file declares and imports by name, as far as types go. */
function readTypes(ts, path) {
  const text = readFileSync(path, 'utf8');
  const file = ts.createSourceFile(path, text, ts.ScriptTarget.ES2022, true);
  const types = new Map();
  const imported = new Map();
  for (const node of file.statements) {
    if (ts.isInterfaceDeclaration(node) || ts.isTypeAliasDeclaration(node))
      types.set(node.name.text, node);
    const bindings = ts.isImportDeclaration(node) && node.importClause?.namedBindings;
    if (bindings && ts.isNamedImports(bindings))
      for (const { name, propertyName } of bindings.elements)
        imported.set(name.text, {
          from: node.moduleSpecifier.text,
          name: (propertyName ?? name).text,
        });
  }
  return { file, types, imported };
}

/** Names of types that a node speaks of. */
function typesNamed(ts, node) {
  const found = new Set();
  const visit = (inner) => {
    if (ts.isTypeReferenceNode(inner)) found.add(inner.typeName.getText().split('.')[0]);
    if (ts.isExpressionWithTypeArguments(inner)) found.add(inner.expression.getText());
    ts.forEachChild(inner, visit);
  };
  visit(node);
  return found;
}

/** The type that the sheet names in `defineSheet<…>`: where it is declared, and its name there. */
function givenType(ts, folder) {
  const sheet = join(folder, 'sheet.ts');
  const read = readTypes(ts, sheet);
  let name;
  const visit = (node) => {
    if (ts.isCallExpression(node) && node.expression.getText() === 'defineSheet')
      name ??= node.typeArguments?.[0]?.getText();
    ts.forEachChild(node, visit);
  };
  visit(read.file);
  if (name === undefined || read.types.has(name)) return { name, read };
  const origin = read.imported.get(name);
  const path = origin && join(folder, `${origin.from}.ts`);
  return path && existsSync(path) ? { name: origin.name, read: readTypes(ts, path) } : {};
}

/**
 * The text of a declaration file with the givens of one sheet and the types that they are made of, nothing else
 * of the sheet; undefined where the sheet does not name such a type, and cells then read its givens unchecked.
 */
export function sheetTypes(ts, folder) {
  const { name, read } = givenType(ts, folder);
  if (!read?.types.has(name)) return undefined;
  // Each type by its name, with the file that names it; the sheet's own files are followed.
  const needed = new Map([[name, read]]);
  const library = [];
  const parts = [];
  for (const [one, from] of needed) {
    const origin = from.imported.get(one);
    const own = origin?.from.startsWith('./') && join(folder, `${origin.from}.ts`);
    const there = own && existsSync(own) ? readTypes(ts, own) : from;
    const node = there.types.get(there === from ? one : origin.name);
    if (node) {
      parts.push(node.getFullText().trim());
      for (const other of typesNamed(ts, node)) if (!needed.has(other)) needed.set(other, there);
    } else if (origin?.from === 'multislit') library.push([origin.name, one]);
    else if (origin) return undefined;
  }
  const imports = library.map(([theirs, ours]) =>
    theirs === ours ? ours : `${theirs} as ${ours}`,
  );
  const head =
    imports.length > 0 ? [`import type { ${imports.join(', ')} } from '../../index';`] : [];
  const declared = parts.map((part) => part.replace(/^(?:export )?(?=interface|type)/m, 'export '));
  const renamed = name === 'Given' ? [] : [`export type { ${name} as Given };`];
  return `${[...head, ...declared, ...renamed].join('\n')}\n`;
}

/** Write the givens of all sheets below `worksheets` into the library's declarations in `types`. */
export function writeSheetTypes(ts, worksheets, types) {
  const folder = join(types, 'questions', 'givens');
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  const lines = [];
  for (const name of readdirSync(worksheets).sort()) {
    if (!existsSync(join(worksheets, name, 'sheet.ts'))) continue;
    const text = sheetTypes(ts, join(worksheets, name));
    if (text === undefined) continue;
    writeFileSync(join(folder, `${name}.d.ts`), text);
    lines.push(`  '${name}': import('./givens/${name}').Given;\n`);
  }
  const said = '/** The givens of each sheet by name: one line for each sheet. */';
  const all = `${said}\nexport interface SheetGivens {\n${lines.join('')}}\n`;
  writeFileSync(join(types, 'questions', 'sheet-givens.d.ts'), all);
}
