import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import type { CellConverter } from '../../kernel-lib/cells/convert/converter';
import { remarkEntries } from '../../kernel-lib/cells/convert/words/remarks-on';
import { entries } from '../../kernel-lib/cells/convert/words/words-for';
import { nodeConverter } from '../../kernel-lib/kernel/node-session';
import { sourceOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { rows } from '../kernel/rows';

// What is typed here is what students type who come from paper, from a word processor, from a calculator or from
// another language; what was meant, and where it went wrong, was written down from that and not from the table.

/** `▸` stands before the place that a reader has to look at. */
const placeIn = (marked: string) => {
  const before = marked.slice(0, marked.indexOf('▸'));
  return { line: before.split('\n').length, column: before.length - before.lastIndexOf('\n') };
};

/** Typed ¦ what was meant, `–` where only its writer knows ¦ a part of what is said */
const mistakes: Readonly<Record<string, string>> = {
  // signs
  'times sign': `
    const p = 3 ▸× 4; ¦ const p = 3 * 4; ¦ *
    const p = 3 ▸· 4; ¦ const p = 3 * 4; ¦ *
    const p = s ▸⋅ q ⋅ 2; ¦ const p = s * q * 2; ¦ *`,
  'division sign': 'const p = 3 ▸÷ 4; ¦ const p = 3 / 4; ¦ /',
  'minus sign': `
    const p = 5 ▸− 4; ¦ const p = 5 - 4; ¦ minus
    const p = 5e▸−7; ¦ const p = 5e-7; ¦ minus
    const p = s ▸– q; ¦ const p = s - q; ¦ minus`,
  'curly quotes': `
    const p = ▸“abc”; ¦ const p = 'abc'; ¦ straight quotes
    check(▸‘3.1’, s); ¦ check('3.1', s); ¦ straight quotes`,
  'comparison sign': `
    if (s ▸≤ 3) q = 1; ¦ if (s <= 3) q = 1; ¦ <=
    if (s ▸≥ q) q = 1; ¦ if (s >= q) q = 1; ¦ >=
    if (s ▸≠ q) q = 1; ¦ if (s !== q) q = 1; ¦ !==`,
  'infinity sign': 'const far = ▸∞; ¦ const far = Infinity; ¦ Infinity',
  'fraction sign': 'const p = s * (▸½); ¦ const p = s * (1 / 2); ¦ 1 / 2',
  'raised number': `
    const p = s▸²; ¦ const p = s ** 2; ¦ ** 2
    const p = 10▸⁻⁷; ¦ const p = 10 ** -7; ¦ **
    const p = Math.sin▸²(s); ¦ const p = Math.sin(s) ** 2; ¦ behind its brackets`,
  'lowered number': 'const λ▸₁ = 3; ¦ const λ1 = 3; ¦ usual digit',
  'root sign': `
    const p = ▸√2; ¦ const p = Math.sqrt(2); ¦ Math.sqrt
    const p = ▸√(s + 1); ¦ const p = Math.sqrt(s + 1); ¦ Math.sqrt`,
  'degree sign': `
    const p = Math.sin(30▸°); ¦ const p = Math.sin(degrees(30)); ¦ radians
    const p = degrees(30▸°); ¦ const p = degrees(30); ¦ number alone
    const p = Math.asin(s) ▸°; ¦ – ¦ divided by degrees(1)
    const p = s▸°; ¦ – ¦ divided by degrees(1)`,
  'plus-minus sign': 'const p = 94 ▸± 2; ¦ const p = measured(94, 2); ¦ measured',
  'wide sign': `
    const p ▸＝ 3; ¦ const p = 3; ¦ wide sign
    const p = Math.sin▸（３）; ¦ const p = Math.sin(3); ¦ wide sign`,
  '# comment': 'const p = 3; ▸# my value ¦ const p = 3; // my value ¦ //',
  '% comment': '▸% my value⏎const p = 3; ¦ // my value ¦ //',
  backslash: 'const p = ▸\\lambda; ¦ const p = lambda; ¦ no \\',

  // what the language is like
  'decimal comma': `
    const p = ▸0,594; ¦ const p = 0.594; ¦ point
    const p = 2 * ▸0,594; ¦ const p = 2 * 0.594; ¦ point
    const p = nm(▸632,8); ¦ const p = nm(632.8); ¦ point
    const p = (▸0,5) * s; ¦ const p = (0.5) * s; ¦ point
    function f(c: number) { return (c + 1) ** ▸2,4; } ¦ function f(c: number) { return (c + 1) ** 2.4; } ¦ point
    const p = ▸1.000,5; ¦ const p = 1000.5; ¦ point
    const p = um(▸0,5); ¦ const p = um(0.5); ¦ point
    const p = findRoot((x) => excess(x) - ▸0,5, 0, 1); ¦ const p = findRoot((x) => excess(x) - 0.5, 0, 1); ¦ point
    const p = findRoot(excess, ▸0,1, 0,9); ¦ const p = findRoot(excess, 0.1, 0.9); ¦ point
    const p = Math.pow(▸1,5, 2); ¦ const p = Math.pow(1.5, 2); ¦ point
    const p = excess(▸1,5); ¦ const p = excess(1.5); ¦ point`,
  'number and name': `
    const w = 94 ▸um; ¦ const w = um(94); ¦ um(94)
    const w = 94▸µm; ¦ const w = um(94); ¦ um(94)
    const w = 632.8▸nm; ¦ const w = nm(632.8); ¦ nm(632.8)
    const w = 94 ▸um; ¦ const w = um(94); ¦ without a unit
    const w = 88 ▸µm;   // your value, in micrometres ¦ const w = 88;   // your value, in micrometres ¦ in micrometres
    const w = 88▸um   // in micrometres ¦ const w = 88   // in micrometres ¦ the number alone
    const w = 650 ▸nm; // your value, in micrometres ¦ const w = nm(650) / um(1); // your value, in micrometres ¦ in micrometres
    const w = 1.5 ▸m; // your value, in millimetres ¦ const w = 1.5 / mm(1); // your value, in millimetres ¦ in millimetres
    const w = 1.5 ▸m; // your value, in metres ¦ const w = 1.5; // your value, in metres ¦ metres
    const w = 0.59 ▸deg; // your value, in degrees ¦ const w = 0.59; // your value, in degrees ¦ in degrees
    const w = 0.01 ▸rad; // your value, in degrees ¦ const w = 0.01 / degrees(1); // your value, in degrees ¦ in degrees
    const w = 12 ▸arcsec; // your value, in seconds of arc ¦ const w = 12; // your value, in seconds of arc ¦ the number alone
    const w = [1 ▸mm, 2]; // [nearest, farthest], in millimetres ¦ const w = [1, 2]; // [nearest, farthest], in millimetres ¦ the number alone
    const w = 2 * 40 ▸um / um(1); // in micrometres ¦ const w = 2 * um(40) / um(1); // in micrometres ¦ um(40)
    check('3.1', 0.594 ▸um); ¦ check('3.1', unit('0.594 um')); ¦ unit(
    const w = 1.5e-6 ▸m; ¦ const w = 1.5e-6; ¦ metres
    const p = 2▸s; ¦ const p = 2 * s; ¦ 2 * s
    const p = 2 ▸s; ¦ const p = 2 * s; ¦ 2 * s
    const p = 3▸q/s; ¦ const p = 3 * q/s; ¦ 3 * q
    const p = 5 ▸x 10^-7; ¦ const p = 5e-7; ¦ e`,
  'grouped digits': `
    const p = 10 ▸000; ¦ const p = 10000; ¦ stand together
    const p = 1▸'000; ¦ const p = 1000; ¦ stand together
    const p = 1.000▸.000; ¦ const p = 1000000; ¦ stand together
    const p = 2 * 12.500▸.000; ¦ const p = 2 * 12500000; ¦ stand together`,
  'power of ten without its number': `
    const p = 3e▸; ¦ – ¦ 3e-6
    const p = 2.5e▸ * s; ¦ – ¦ 3e-6`,
  'list without commas': 'const p = [1 ▸2 3]; ¦ const p = [1, 2, 3]; ¦ commas',
  'semicolons between values': `
    const p = [1▸; 2; 3]; ¦ const p = [1, 2, 3]; ¦ commas
    const p = Math.pow(s▸; 2); ¦ const p = Math.pow(s, 2); ¦ commas`,
  'print without brackets': '▸print s; ¦ console.log(s); ¦ console.log',
  'and, or': `
    if (s > 0 ▸and s < 1) q = 1; ¦ if (s > 0 && s < 1) q = 1; ¦ &&
    if (s > 0 ▸or q < 1) q = 1; ¦ if (s > 0 || q < 1) q = 1; ¦ ||`,
  not: 'if (▸not s > 0) q = 1; ¦ if (!(s > 0)) q = 1; ¦ !',
  'mod, div': 'const p = 7 ▸mod 2; ¦ const p = 7 % 2; ¦ %',
  'else if':
    'if (s > 0) { q = 1; } ▸elif (s < 0) { q = 2; } ¦ if (s > 0) { q = 1; } else if (s < 0) { q = 2; } ¦ else if',
  'if without brackets': `
    if ▸s > 0 { q = 1; } ¦ if (s > 0) { q = 1; } ¦ round brackets
    if ▸s > 0:⏎    q = 1 ¦ …if (s > 0) { ¦ round brackets`,
  'counting loop': `
    for ▸i in range(10):⏎    q = i ¦ …for (let i = 0; i < 10; i += 1) { ¦ semicolons
    for ▸i = 1:10⏎    q = i⏎end ¦ …for (let i = 1; i <= 10; i += 1) { ¦ semicolons
    for (let i = 0▸, i < 3, i++) q = i; ¦ for (let i = 0; i < 3; i++) q = i; ¦ semicolons`,
  'list comprehension':
    'const p = [x * 2 ▸for x in list]; ¦ const p = list.map((x) => x * 2); ¦ map',
  'loop over a list': 'for ▸x in list:⏎    q = x ¦ …for (const x of list) { ¦ of',
  'then, end': `
    if (s > 0) ▸then q = 1; ¦ if (s > 0) q = 1; ¦ no “then”
    if (s > 0) ▸then⏎  q = 1;⏎end ¦ …if (s > 0) { ¦ braces
    if (s > 0) { q = 1;⏎▸end ¦ …} ¦ }`,
  def: '▸def f(x):⏎    return x * 2 ¦ …function f(x) { ¦ function',
  lambda: 'const f = ▸lambda x: x * 2; ¦ const f = (x) => x * 2; ¦ =>',
  'thin arrow': 'const f = (x) ▸-> x * 2; ¦ const f = (x) => x * 2; ¦ =>',
  'arrow of one stroke': 'const f = (x: number) ▸= x * 2; ¦ const f = (x: number) => x * 2; ¦ =>',
  '@ function': 'const f = ▸@(x) x * 2; ¦ const f = (x) => x * 2; ¦ =>',
  'function by an equation': `
    f(x) ▸= x * 2; ¦ const f = (x) => x * 2; ¦ arrow
    const f(x) ▸= x * 2; ¦ const f = (x) => x * 2; ¦ arrow
    function f(x) ▸= x * 2; ¦ const f = (x) => x * 2; ¦ arrow`,
  'function without braces': `
    const f = function(x: number) ▸return x * 2; ¦ const f = function(x: number) { return x * 2; } ¦ {
    function f(x: number) ▸return x * 2; ¦ function f(x: number) { return x * 2; } ¦ {`,
  'import of another language': `
    import numpy ▸as np ¦ – ¦ Math.sin
    ▸from math import pi ¦ – ¦ Math.PI`,
  ':=': `
    const p :▸= 3; ¦ const p = 3; ¦ const
    p :▸= 3; ¦ const p = 3; ¦ const`,
  '== for =': 'const p ▸== 3; ¦ const p = 3; ¦ one =',
  '=<': 'if (q ▸=< 3) q = 1; ¦ if (q <= 3) q = 1; ¦ <=',
  '<>': 'if (q <▸> 3) q = 1; ¦ if (q !== 3) q = 1; ¦ !==',
  'bars for the absolute value': 'const p = ▸|s|; ¦ const p = Math.abs(s); ¦ Math.abs',
  percent: 'const p = ▸5%; ¦ const p = 5 / 100; ¦ divided by 100',
  'braces for a list': 'const p = {1▸, 2, 3}; ¦ const p = [1, 2, 3]; ¦ square',
  'round brackets for a list': `
    const p = ▸(1, 2, 3); ¦ const p = [1, 2, 3]; ¦ square
    const p = ▸(7,6);   // [dark lines, weak maxima] ¦ const p = [7,6];   // [dark lines, weak maxima] ¦ square`,
  'part of a list': 'let p = list[1▸:2]; ¦ let p = list.slice(1, 2); ¦ slice',
  'several names at once': `
    const ▸(a, b) = [1, 2]; ¦ const [a, b] = [1, 2]; ¦ square
    ▸left, right = 1, 2; ¦ const [left, right] = [1, 2]; ¦ square`,
  // The page closes a bracket by itself as soon as it is opened, and the line is typed on inside of it.
  'semicolon within brackets':
    'const p = Math.sin(Math.cos(s) + 1▸;) ¦ const p = Math.sin(Math.cos(s) + 1); ¦ behind them',
  'colon at the end': 'console.log(s)▸: ¦ console.log(s); ¦ ;',
  'point between': `
    const p = given ▸width; ¦ const p = given.width; ¦ point
    const p = Math ▸asin(0.3); ¦ const p = Math.asin(0.3); ¦ point`,
  'function without brackets': `
    const p = ▸Math.asin 0.3; ¦ const p = Math.asin(0.3); ¦ brackets
    const p = ▸nm 632.8; ¦ const p = nm(632.8); ¦ brackets`,
  'two values by a comma': `
    const pair = 7▸, 6; // [dark lines, weak maxima] ¦ const pair = [7, 6]; // [dark lines, weak maxima] ¦ square
    const pair = list[0]▸, list[1]; ¦ const pair = [list[0], list[1]]; ¦ square
    const fitted = [1, 2];⏎const pair = fitted[0]▸, fitted[1]; ¦ const pair = [fitted[0], fitted[1]]; ¦ square`,
  'keyword misspelt': `
    ▸Const p = 3; ¦ const p = 3; ¦ const
    function f(x: number) {⏎  ▸retrun x;⏎} ¦   return x; ¦ return`,
  'name of two words': `
    const my ▸width = 3; ¦ const myWidth = 3; ¦ one word
    const my▸-width = 3; ¦ const myWidth = 3; ¦ one word`,
  'name begins with a digit': 'const ▸2d = 3; ¦ const d2 = 3; ¦ letter',
  'minus before a power': 'const p = ▸-s ** 2; ¦ const p = -(s ** 2); ¦ (-s) ** 2',
  'return outside of a function': '▸return s; ¦ s; ¦ last line',
  'word of the language as a name': 'const ▸new = 3; ¦ – ¦ Choose another',
  'open quote': `
    const p = ▸'abc; ¦ const p = 'abc'; ¦ not closed
    const p = ▸"abc'; ¦ const p = "abc"; ¦ same
    const p = ▸\`abc;⏎const r = 3; ¦ – ¦ not closed`,
  'too many closed': `
    const p = 1 + 2▸); ¦ const p = 1 + 2; ¦ one more
    if (q > 3) q = 1; ▸} ¦ if (q > 3) q = 1; ¦ one more
    if (q > 3) {⏎  q = 1;⏎}⏎▸} ¦ – ¦ Take it away`,
  'open bracket': `
    const p = ▸(1 + 2; ¦ const p = (1 + 2); ¦ not closed
    const p = Math.sin▸(Math.cos(s) + 1;⏎const r = 3; ¦ const p = Math.sin(Math.cos(s) + 1); ¦ not closed
    const p = ▸[1, 2; ¦ const p = [1, 2]; ¦ not closed
    const p = list▸[0); ¦ const p = list[0]; ¦ belongs
    if ▸(q > 3 { q = 1; } ¦ if (q > 3) { q = 1; } ¦ not closed
    function f(x: number) ▸{⏎  return x * 2;⏎⏎const r = f(2); ¦ – ¦ }`,
  'nothing behind a sign': `
    const p = 3 ▸+; ¦ – ¦ behind +
    const p ▸= ; ¦ const p = blank; ¦ blank`,
  'sign missing': `
    const p = s ▸q; ¦ – ¦ between s and q
    const p = given.width ▸um; ¦ const p = given.width; ¦ in metres
    const p = 3 ▸const r = 4; ¦ const p = 3; const r = 4; ¦ line of its own`,

  // what things are
  'forgotten return': `
    function f(x: number): ▸number { Math.sin(x); } ¦ – ¦ return
    function f(x: number) { Math.sin(x); }⏎const p = 2 * ▸f(0.3); ¦ – ¦ return`,
  'power of a function': `
    const p = ▸Math.sin**2(s); ¦ const p = Math.sin(s) ** 2; ¦ behind its brackets
    const p = ▸sin^2(s); ¦ const p = Math.sin(s) ** 2; ¦ behind its brackets
    const p = 1 - ▸cos**2(0.3); ¦ const p = 1 - Math.cos(0.3) ** 2; ¦ behind its brackets`,
  'measured value with + - * /': `
    const p = ▸reading * 2; ¦ const p = reading.times(2); ¦ uncertainty
    const p = 2 * ▸reading; ¦ const p = reading.times(2); ¦ uncertainty
    const p = ▸reading + 1; ¦ const p = reading.plus(1); ¦ .plus
    const p = ▸reading - reading; ¦ const p = reading.minus(reading); ¦ .minus
    const p = ▸reading ** 2; ¦ const p = reading.power(2); ¦ .power`,
  'two comparisons in one': `
    const inside = ▸1 < s < 3; ¦ const inside = 1 < s && s < 3; ¦ &&
    const inside = list.filter((x) => ▸1 <= x <= s * 2); ¦ const inside = list.filter((x) => 1 <= x && x <= s * 2); ¦ &&`,
  'fitted value with + - * /': `
    const p = s * 2 / ▸line.slope / q; ¦ const p = s * 2 / line.slope.value / q; ¦ .value
    const p = ▸line.slope * 2; ¦ const p = line.slope.value * 2; ¦ uncertainty`,
  'measured value in Math':
    'const p = Math.sin(▸reading); ¦ const p = reading.sin(); ¦ uncertainty',
  'unit as a factor': `
    const w = 94 * ▸um; ¦ const w = um(94); ¦ um(94)
    const p = s / ▸um; ¦ const p = s / um(1); ¦ um(1)`,
  'list as a number': `
    const p = ▸list * 2; ¦ const p = list.map((x) => x * 2); ¦ map
    const p = ▸list - list; ¦ const p = list.map((x, i) => x - list[i]); ¦ value by value
    const p = ▸[1, 2, 3] * 2; ¦ const p = [1, 2, 3].map((x) => x * 2); ¦ map`,
  'function as a number': `
    const p = ▸Math.sqrt * 2; ¦ – ¦ brackets
    const p = ▸excess * 2; ¦ – ¦ brackets
    const p = findRoot(▸excess - s, 0, 1); ¦ const p = findRoot((x) => excess(x) - s, 0, 1); ¦ so is what findRoot asks for`,
  'list where a number goes': `
    const p = Math.max(▸list); ¦ const p = Math.max(...list); ¦ three points
    const p = Math.sin(▸list); ¦ const p = list.map((x) => Math.sin(x)); ¦ map`,
  'text where a number goes': `
    const w = um(▸"94"); ¦ const w = um(94); ¦ quotes
    const w = um(▸'0,5'); ¦ const w = um(0.5); ¦ quotes`,
  'number of the question': "check(▸3.1, s); ¦ check('3.1', s); ¦ quotes",
  'product without its sign': `
    const p = ▸2(s + 1); ¦ const p = 2 * (s + 1); ¦ times
    const p = ▸(s + 1)(s - 1); ¦ const p = (s + 1) * (s - 1); ¦ times
    const p = ▸q(2); ¦ const p = q * (2); ¦ times
    const p = list.▸length(); ¦ const p = list.length; ¦ without brackets
    const p = ▸list(0); ¦ const p = list[0]; ¦ square`,
  'name in Math': `
    const p = Math.▸Sin(s); ¦ const p = Math.sin(s); ¦ Capital
    const p = 2 * Math.▸pi; ¦ const p = 2 * Math.PI; ¦ Math.PI
    const p = Math.▸arcsin(0.3); ¦ const p = Math.asin(0.3); ¦ asin
    const p = Math.▸ln(2); ¦ const p = Math.log(2); ¦ Math.log
    const p = Math.▸radians(30); ¦ – ¦ degrees(30)`,
  'name among the givens': `
    const p = given.▸widht; ¦ const p = given.width; ¦ given.wavelength
    const p = given.▸x; ¦ – ¦ given.focalLength`,
  'name of a list': `
    list.▸append(3); ¦ list.push(3); ¦ push
    const p = list.▸len; ¦ const p = list.length; ¦ length
    const p = list.▸max(); ¦ const p = Math.max(...list); ¦ Math.max`,
  'name of a number': `
    const p = q.▸sin(); ¦ const p = Math.sin(q); ¦ plain number
    const p = q.▸times(2); ¦ const p = q * 2; ¦ plain number
    const p = given.width.▸value; ¦ const p = given.width; ¦ plain number`,
  'name of console': `
    console.▸print(s); ¦ console.log(s); ¦ console.log
    ▸Console.log(s); ¦ console.log(s); ¦ small c`,
  'value of a const': `
    ▸given = 3; ¦ – ¦ another name
    ▸s = 3; ¦ const s = 3; ¦ announce it anew
    ▸s = s + 3; ¦ – ¦ let
    const r = 3;⏎▸r = 4; ¦ – ¦ let
    if (▸reach = 0) q = 1; ¦ if (reach === 0) q = 1; ¦ ===`,
  'comparison that never holds': `
    if (▸s === 3) q = 1; ¦ – ¦ let
    if (▸q == '3') q = 1; ¦ – ¦ without quotes`,
  'announced twice': `
    const fitted = 1, pair = 2, ▸fitted = 3; ¦ – ¦ twice
    const p = 3;⏎const ▸p = 4; ¦ – ¦ another name`,
  'used before it is made': 'const p = ▸later + 1;⏎const later = 3; ¦ – ¦ above',
  'function wanted':
    'const p = list.map(▸Math.sin(x)); ¦ const p = list.map((x) => Math.sin(x)); ¦ function',
  'wrong import': `
    import { mm } from ▸'multislits'; ¦ import { mm } from 'multislit'; ¦ multislit
    import { ▸readangle } from 'multislit'; ¦ import { readAngle } from 'multislit'; ¦ readAngle`,
  'value with a unit computed with':
    "import { unit } from 'multislit';⏎const p = ▸unit('3 mm') * 2; ¦ const p = mm(3) * 2; ¦ mm(…)",
  'show for a value': 'show(▸s); ¦ console.log(s); ¦ console.log',
  'rounding to decimals':
    'const p = Math.round(s, ▸3); ¦ const p = Number(s.toFixed(3)); ¦ toFixed',
  'number of arguments': '▸fitCurve(3); ¦ – ¦ 3 to 4 values',

  // names
  'announce a name': '▸angle = 3; ¦ const angle = 3; ¦ const',
  'capital and small letters': `
    const p = ▸Directions[0]; ¦ const p = directions[0]; ¦ directions
    const p = ▸Given.width; ¦ const p = given.width; ¦ given
    check('3.1', ▸Theta); ¦ – ¦ Call it Theta there`,
  'Math before its functions': `
    const p = ▸asin(0.3); ¦ const p = Math.asin(0.3); ¦ radians
    const p = ▸cos(s); ¦ const p = Math.cos(s); ¦ radians
    const p = ▸sqrt(s) + abs(s); ¦ const p = Math.sqrt(s) + abs(s); ¦ Math.sqrt
    const p = ▸sin(30); ¦ const p = Math.sin(30); ¦ radians`,
  arcsin: 'const p = ▸arcsin(0.3); ¦ const p = Math.asin(0.3); ¦ Math.asin',
  'natural logarithm': 'const p = ▸ln(2); ¦ const p = Math.log(2); ¦ Math.log',
  log: '▸log(s); ¦ – ¦ Math.log10',
  pi: 'const p = 2 * ▸pi; ¦ const p = 2 * Math.PI; ¦ Math.PI',
  'sine of degrees': 'const p = ▸sind(30); ¦ const p = Math.sin(degrees(30)); ¦ radians',
  'degrees to radians': 'const p = ▸deg2rad(30); ¦ const p = degrees(30); ¦ radians',
  'radians to degrees': 'const p = ▸rad2deg(s); ¦ const p = s * 180 / Math.PI; ¦ degrees(1)',
  'e to a power': 'const p = ▸e^2; ¦ const p = Math.exp(2); ¦ Math.exp',
  'math module': 'const p = ▸math.sin(s); ¦ const p = Math.sin(s); ¦ capital M',
  numpy: 'const p = ▸np.sin(s); ¦ – ¦ Math.sin',
  printing: `
    ▸print(s); ¦ console.log(s); ¦ console.log
    ▸disp(s) ¦ console.log(s) ¦ console.log
    ▸println(s); ¦ console.log(s); ¦ console.log
    ▸printf("%f", s); ¦ console.log(s); ¦ console.log`,
  'length of a list': 'const p = ▸len(list); ¦ const p = list.length; ¦ list.length',
  range: 'const p = ▸range(10); ¦ const p = Array.from({ length: 10 }, (_, i) => i); ¦ Array.from',
  linspace:
    'const p = ▸linspace(0, 1, 11); ¦ const p = Array.from({ length: 11 }, (_, i) => 1 * i / 10); ¦ Array.from',
  'sum of a list':
    'const p = ▸sum(list); ¦ const p = list.reduce((sum, x) => sum + x, 0); ¦ reduce',
  'largest of a list': 'const p = ▸max(list); ¦ const p = Math.max(...list); ¦ Math.max',
  rounding: 'const p = ▸round(s, 3); ¦ const p = Number(s.toFixed(3)); ¦ toFixed',
  appending: '▸append(list, 3); ¦ list.push(3); ¦ push',
  'true and false': 'const p = ▸True; ¦ const p = true; ¦ small letter',
  nothing: 'const p = ▸None; ¦ const p = undefined; ¦ blank',
  'type of a number': 'var x: ▸float = 3; ¦ var x: number = 3; ¦ number',
  'type before a name': '▸double x = 3; ¦ const x = 3; ¦ const',
  'loop counter': 'for (▸i = 0; i < 3; i++) q = i; ¦ for (let i = 0; i < 3; i++) q = i; ¦ let',
  'not fetched from the library': `
    const p = ▸readAngle('12 deg'); ¦ – ¦ import { readAngle } from 'multislit';
    const p = ▸intensity(s); ¦ – ¦ cell above
    ▸progress(1); ¦ – ¦ import { progress } from 'multislit';
    const p = ▸prompt('x'); ¦ – ¦ import { prompt } from 'multislit';`,
  'letter of the text': `
    const p = ▸d / 2; ¦ const p = given.spacing / 2; ¦ given.spacing
    const p = ▸λ / s; ¦ const p = given.wavelength / s; ¦ given.wavelength
    const p = ▸m * 3; ¦ const p = given.order * 3; ¦ given.order
    const p = ▸missing * 3; ¦ const p = given.missing * 3; ¦ among the givens
    const p = ▸z * 3; ¦ – ¦ no value`,
  'misspelt name': "▸chek('3.1', s); ¦ check('3.1', s); ¦ check",
  'unknown name': 'const p = ▸fringe + 1; ¦ – ¦ run that one first',
};

/** What is near to a mistake of that name, and is none, or another. */
const nearMisses: Readonly<Record<string, string>> = {
  'times sign': "const p = '3 × 4'; // 3 × 4",
  'division sign': "const p = '6 ÷ 2';",
  'minus sign': 'const p = 5 - 4; // 5 − 4',
  'curly quotes': "const p = 'a “quoted” word';",
  'comparison sign': 'if (s <= 3) q = 1; // s ≤ 3',
  'infinity sign': "const p = 'up to ∞';",
  'fraction sign': "const p = '½';",
  'raised number': "const p = 'mm²'; const r = s ** 2;",
  'lowered number': 'const λ1 = 3;',
  'root sign': "const p = '√2';",
  'degree sign': "const p = '30°';",
  'plus-minus sign': "const p = '94 ± 2';",
  'wide sign': "const p = '＝';",
  '# comment': "const p = '#ff0000';",
  '% comment': 'const p = 7 % 2; ¦ const p = 7⏎% 2;',
  backslash: "const p = 'a\\\\b';",
  'decimal comma':
    'const a = 0, b = 594; ¦ const p = [0,594]; ¦ const p = nm(632, 8); ¦ const p = Math.max(0,594); ¦ const p = findRoot(excess, 0,1, { step: 2 }); ¦ const p = findRoot(excess, 0, 1, 2); ¦ const p = excess(2, 3);',
  'number and name': 'const p = 94 * um(1); ¦ const p = 1e3; ¦ const p = 0x1f; ¦ const p = 10n;',
  'grouped digits': 'const p = [1 200]; ¦ const p = 1_000; ¦ const p = 3 4;',
  'power of ten without its number': 'const p = 3e-6; ¦ const p = e * 3; ¦ const p = 5e−7;',
  'list without commas': 'const p = [1, 2, 3]; ¦ const p = [1, 2;',
  'semicolons between values':
    'for (let i = 0; i < 3; i++) q = i; ¦ const p = [1, 2; ¦ const p = (1 + 2;',
  'print without brackets': 'console.log(s); ¦ print(s);',
  'and, or': "const p = 'this and that'; ¦ const p = s && q;",
  not: "const p = 'not'; ¦ const p = !s;",
  'mod, div': 'const p = 7 % 2;',
  'else if': 'if (s > 0) { q = 1; } else if (s < 0) { q = 2; }',
  'if without brackets': 'if (s > 0) q = 1; ¦ while (q < 0) q += 1;',
  'counting loop': 'for (let i = 0; i < 3; i++) q = i; ¦ for (let i = 0, n = 3; i < n; i++) q = i;',
  'list comprehension': 'const p = list.map((x) => x * 2); ¦ for (const x in list) q = 1;',
  'loop over a list': 'for (const x of list) q = x; ¦ for (const x in list) q = 1;',
  'then, end': 'Promise.resolve(3).then((x) => x); ¦ const end = 3; end;',
  def: 'const def = 3; def; ¦ function f(x) { return x; }',
  lambda: 'const p = lambda * 2; ¦ const lambda = 3; lambda;',
  'thin arrow': 'const f = (x) => x * 2; ¦ const p = q-- > 3;',
  'arrow of one stroke': 'const f = (x: number) => x * 2; ¦ const p = (s + 1) = 3;',
  '@ function': "const p = 'a@(b)';",
  'function by an equation':
    'const f = (x) => x * 2; ¦ if (q = 3) q = 1; ¦ const f = function (x) { return x; }; ¦ f(3) === 4;',
  'function without braces': 'const f = (x: number) => { return x * 2; }; ¦ return s;',
  'import of another language':
    "import { mm } from 'multislit'; ¦ import * as all from 'multislit'; all.mm(3);",
  ':=': 'const p: number = 3; ¦ const p = q ? 1 : 2;',
  '== for =': 'const p = s === q;',
  '=<': 'if (q <= 3) q = 1; ¦ const f = (x) => x < 3;',
  '<>': 'if (q !== 3) q = 1; ¦ const p: Array<number> = [];',
  'bars for the absolute value': 'const p = s || q; ¦ const p = 5 | 3;',
  percent: "const p = 7 % 2; ¦ const p = '5%';",
  'braces for a list': 'const p = { a: 1, b: 2 }; ¦ const p = { a 1 };',
  'round brackets for a list':
    'const p = Math.max(1, 2, 3); ¦ const p = (1 + 2) * 3; ¦ const p = list[1, 2];',
  'part of a list': 'const p = q > 1 ? list[1] : 2; ¦ const p = list.slice(1, 2);',
  'several names at once': 'const [a, b] = [1, 2]; ¦ let a, b = 2; ¦ const a = 1, b = 2;',
  'semicolon within brackets': 'const p = Math.sin(s); ¦ const p = [1; 2]; ¦ const p = (1 + 2;',
  'colon at the end': 'const p = { a: 1 }; ¦ const p = q > 1 ? 1⏎: 2;',
  'point between': 'const p = given.width; ¦ const p = Math.asin(0.3);',
  'function without brackets': 'const p = Math.asin(0.3); ¦ const p = s q; ¦ const p = Math.PI 3;',
  'two values by a comma':
    'const a = 1, b = 2; ¦ const a = 1, b; ¦ const p = Math.max(list[0], list[1]); ¦ const p = [list[0], list[1]];',
  'keyword misspelt': 'const constant = 3; ¦ Number(3);',
  'name of two words': 'const myWidth = 3; ¦ const p = my - 3;',
  'name begins with a digit': 'const d2 = 3; ¦ const p = 2;',
  'minus before a power': 'const p = -(s ** 2); ¦ const p = s ** -2; ¦ const p = 3 - s ** 2;',
  'return outside of a function': 'function f(x) { return x; }',
  'word of the language as a name': 'const news = 3;',
  'open quote': `const p = 'abc'; ¦ const p = "it's"; ¦ const p = 3; // it's`,
  'too many closed': "const p = (1 + 2); ¦ const p = ':)'; ¦ const p = (1 + 2;",
  'open bracket': "const p = (1 + 2); ¦ const p = '('; // ( ¦ const p = s q; ¦ const p = (s q);",
  'nothing behind a sign': 'const p = 3 +⏎4; ¦ const p = 3; ¦ q++;',
  'sign missing': 'const p = s⏎const r = 3; ¦ const p = s * q;',
  'forgotten return':
    'const f = (x: number) => Math.sin(x);⏎const p = 2 * f(0.3); ¦ function f(x: number) { return Math.sin(x); }⏎const p = 2 * f(0.3); ¦ const p = 2 * list;',
  'power of a function': 'const p = Math.sin(s) ** 2; ¦ const p = Math.sqrt * 2;',
  'measured value with + - * /':
    'const p = reading.times(2); ¦ const p = reading.value * 2; ¦ const p = list * 2;',
  'two comparisons in one': 'const p = 1 < s && s < 3; ¦ const p = list > 2;',
  'fitted value with + - * /': 'const p = s / line.slope.value; ¦ const p = reading * 2;',
  'measured value in Math': 'const p = Math.sin(reading.value); ¦ const p = Math.sin(list);',
  'unit as a factor':
    'const w = 94 * um(1); ¦ const p = list * 2; ¦ const um2 = 3; const p = 94 * um2;',
  'list as a number':
    'const p = list[0] * 2; ¦ const p = reading * 2; ¦ const p = list.length * 2;',
  'function as a number': 'const p = Math.sqrt(2) * 2; ¦ const p = list * 2;',
  'list where a number goes': 'const p = Math.max(...list); ¦ const p = Math.sin(reading);',
  'text where a number goes': "const p = 'a' + 3; ¦ const p = um('wide'); ¦ const p = '3' + s;",
  'number of the question': "check('3.1', 3.1); ¦ check('3.1', s);",
  'product without its sign': 'const p = Math.sin(2); ¦ const p = 2 * (s + 1); ¦ const p = um(3);',
  'name in Math': 'const p = Math.sin(s); ¦ const p = Math.fringe(s);',
  'name among the givens': 'const p = given.width; ¦ const p = axes.z;',
  'name of a list': 'const p = list.length; ¦ const p = list.fringe; ¦ const p = axes.len;',
  'name of a number': 'const p = reading.value; ¦ const p = q.toFixed(2); ¦ const p = q.fringe;',
  'name of console': 'console.log(s); ¦ console.table(list); ¦ console.fringe(s);',
  'value of a const': 'q = 3; ¦ if (s === 0) q = 1; ¦ let r = 3; r = 4;',
  'comparison that never holds': 'if (q === 3) q = 1; ¦ if (s > 3) q = 1;',
  'announced twice': 'const s = 3; ¦ const p = 3; { const p = 4; }',
  'used before it is made': 'const f = () => later;⏎const later = 3; ¦ const p = fringe + 1;',
  'function wanted':
    'const p = list.map((x) => Math.sin(x)); ¦ const p = list.map(Math.sin); ¦ const p = Math.max(list);',
  'wrong import':
    "import { readAngle } from 'multislit'; ¦ import { sep } from 'node:path'; ¦ import { x } from 'fringes';",
  'value with a unit computed with': 'const p = mm(3) * 2; ¦ const p = list * 2;',
  'show for a value': 'console.log(s); ¦ show(linePlot({ x: list, y: list, as: "line" }, axes));',
  'rounding to decimals': 'const p = Math.round(s); ¦ const p = um(1, 2);',
  'number of arguments': 'const p = Math.round(s); ¦ const p = nm(632,8);',
  'announce a name': 'q = 3; ¦ const p = fringe; ¦ fringe == 3;',
  'capital and small letters': 'const p = fringe; ¦ const p = directions[0];',
  'Math before its functions':
    'const p = Math.asin(0.3); ¦ const sin = Math.sin; const p = sin(0.3); ¦ const p = sin;',
  arcsin: 'const p = Math.asin(0.3); ¦ const p = arch(0.3);',
  'natural logarithm': 'const ln = Math.log; ln(2); ¦ const p = ln;',
  log: 'console.log(s); ¦ const p = Math.log(2);',
  pi: 'const p = Math.PI; ¦ const pi = 3; pi;',
  'sine of degrees': 'const p = Math.sin(0.5); ¦ const p = sing(30);',
  'degrees to radians': 'const p = degrees(30); ¦ const p = radians;',
  'radians to degrees': 'const p = s * 180 / Math.PI;',
  'e to a power': 'const p = Math.exp(2); ¦ const p = e + 1; ¦ const p = 1e2;',
  'math module': 'const p = Math.sin(s); ¦ const math = Math; math.sin(s);',
  numpy: 'const np = Math; np.sin(s);',
  printing: 'console.log(s); ¦ const print = (x: number) => x; print(3);',
  'length of a list': 'const p = list.length; ¦ const p = len;',
  range: 'const range = (n: number) => n; range(3); ¦ const p = range;',
  linspace: 'const linspace = (n: number) => n; linspace(3);',
  'sum of a list': 'const sum = (n: number) => n; sum(3); ¦ const p = sum;',
  'largest of a list': 'const p = Math.max(1, 2); ¦ const p = max;',
  rounding: 'const p = Math.round(s);',
  appending: 'list.push(3);',
  'true and false': 'const p = true;',
  nothing: 'const p = undefined;',
  'type of a number': 'const p: number = 3; ¦ const p: fringe = 3;',
  'type before a name': 'const x = 3; ¦ fringe x = 3; ¦ const double = 2; double;',
  'loop counter': 'for (let i = 0; i < 3; i++) q = i; ¦ for (q = 0; q < 3; q++) console.log(q);',
  'not fetched from the library':
    "import { progress } from 'multislit'; progress(1); ¦ const p = fringe;",
  'letter of the text':
    'const d = 3; const p = d / 2; ¦ const p = (d: number) => d / 2; ¦ const p = fringe / 2;',
  'misspelt name': "check('3.1', s); ¦ const p = fringe;",
  'unknown name': 'const p = print; ¦ const p = q + 1; ¦ const p = d / 2;',
};

/** Runs, and is surely not meant. Typed ¦ meant ¦ a part of what is said */
const remarked: Readonly<Record<string, string>> = {
  '^ for a power': `
    const p = s▸^2; ¦ const p = s**2; ¦ **
    const p = Math.cos(s)▸^2 * Math.sin(s)^2; ¦ const p = Math.cos(s)**2 * Math.sin(s)**2; ¦ **
    const p = 5 * 10 ▸^ -7; ¦ const p = 5 * 10 ** -7; ¦ **
    const p = -s ▸^ 2; ¦ const p = -(s ** 2); ¦ **
    q ▸^= 2; ¦ q **= 2; ¦ **`,
  '= for a comparison': `
    if (▸q = 0) q = 1; ¦ if (q === 0) q = 1; ¦ ===
    const p = (▸q = 0) ? 1 : 2; ¦ const p = (q === 0) ? 1 : 2; ¦ ===`,
  '=> for >=': 'if (q ▸=> 3) q = 1; ¦ if (q >= 3) q = 1; ¦ >=',
  '== for =': 'q ▸== 3;⏎q; ¦ q = 3; ¦ one =',
  'degrees in Math.sin': `
    const p = Math.sin(▸30); ¦ const p = Math.sin(30 * Math.PI / 180); ¦ radians
    const p = Math.cos(▸theta); ¦ const p = Math.cos(theta * Math.PI / 180); ¦ radians
    const angle = 12.5;⏎const p = Math.tan(▸angle); ¦ const p = Math.tan(angle * Math.PI / 180); ¦ radians`,
  'forgotten return': `
    function f(x: number) { ▸Math.sin(x); } ¦ function f(x: number) { return Math.sin(x); } ¦ return
    const f = list.map((x) => { ▸x / mm(1) }); ¦ const f = list.map((x) => { return x / mm(1) }); ¦ return
    const f = (x: number) => { ▸x * 2 }; ¦ const f = (x: number) => { return x * 2 }; ¦ return`,
  'decimal commas in a list':
    'const p = ▸[0,594, 0,61]; ¦ const p = [0.594, 0.61]; ¦ 4 values, not 2',
  'decimal comma among arguments': `
    const p = Math.max(▸0,5, 1); ¦ const p = Math.max(0.5, 1); ¦ point
    const p = Math.min(s, ▸1,5); ¦ const p = Math.min(s, 1.5); ¦ point`,
  'comma between round brackets':
    'const p = ▸(given.missing - 1, given.missing); ¦ const p = [given.missing - 1, given.missing]; ¦ square brackets',
  'power of ten as a sum': `
    const p = 5*▸10-6; ¦ const p = 5*10**-6; ¦ 10 ** -6
    const p = s * ▸10-9 / 2; ¦ const p = s * 10**-9 / 2; ¦ 10 ** -9`,
  'square brackets for a call':
    'const p = ▸Math.asin[0.3]; ¦ const p = Math.asin(0.3); ¦ round brackets',
};

/** What is proposed for these still has the line's second mistake, or stands for a part of a cell. */
const stillWrong: readonly string[] = [
  'const p = Math.sqrt(s) + abs(s);',
  'const p = lambda;',
  'return x;',
  'const pair = [fitted[0], fitted[1]];',
];

const rightToRemark: Readonly<Record<string, string>> = {
  '^ for a power':
    "const p = s ** 2; ¦ const p = (5 ^ 3) >>> 0; ¦ const p = 5 ^ 0xff; ¦ const p = '2^3'; ¦ const p = /^a/.test('a'); // x^2",
  '= for a comparison':
    "if (q === 0) q = 1; ¦ let m: RegExpExecArray | null; while ((m = /a/.exec('b'))) q = 1; ¦ for (let i = 0; i < 3; i += 1) q = i; ¦ if ((q = 0)) q = 1;",
  '=> for >=': 'if (q >= 3) q = 1; ¦ if (list.some((x) => x > 3)) q = 1;',
  '== for =': 'q = 3; ¦ q === 3; ¦ const same = q === 3;',
  'degrees in Math.sin':
    'const p = Math.sin(0.5); ¦ const p = Math.sin(6.2); ¦ const p = Math.sin(2 * Math.PI * 30); ¦ const p = Math.sin(degrees(30)); ¦ const p = Math.asin(0.3); ¦ const f = (theta: number) => Math.sin(theta); ¦ const p = Math.sin(1e6); ¦ const p = Math.exp(30);',
  'forgotten return':
    'function f(x: number) { return Math.sin(x); } ¦ function f(x: number) { console.log(x); } ¦ const f = (x: number) => { q = x; }; ¦ const f = (x: number) => Math.sin(x); ¦ function f() { throw new Error("no"); }',
  'decimal commas in a list':
    'const p = [0.594, 0.61]; ¦ const p = [0,594]; ¦ const p = [1,2,3]; ¦ const p = [1, 2,3];',
  'comma between round brackets':
    'const p = (given.missing - 1) * 2; ¦ const p = Math.max(s, 1); ¦ const p = [s, 1]; ¦ for (let i = 0, n = 3; i < n; i++) q = i;',
  'decimal comma among arguments':
    'const p = Math.max(0.5, 1); ¦ const p = Math.max(1,2,3); ¦ const p = Math.max(0,594); ¦ const p = Math.max(0, 5, 1); ¦ const p = Math.max(s,1); ¦ const p = Math.max(...[1,2], 3);',
  'power of ten as a sum':
    'const p = 5 * 10 - 6; ¦ const p = 5 * 10**-6; ¦ const p = 5 * 10-s; ¦ const p = 3*11-6; ¦ const p = 10-6; ¦ const p = 2*10-1.5;',
  'square brackets for a call':
    "const p = Math.asin(0.3); ¦ const p = list[0]; ¦ const p = Math['PI'];",
};

let converter: CellConverter;
/** Declarations of the third sheet as a student has it, and of a few lines of working. */
let declarations = '';

const working = `import { arcseconds, degrees, findRoot, fitLine, measured, type Measured, nm, unit } from 'multislit';
const line = fitLine({ x: [0, 1, 2, 3], y: [1, 3, 5, 7] });
const s = 0.5;
const list = [1, 2, 3];
const reading = measured(3, 0.1);
let q = 3;
const theta = 30;
const excess = (x: number) => x * x;`;

async function declared(cells: readonly string[]): Promise<string> {
  let all = '';
  for (const source of cells) {
    const made = await converter.convert(all, source);
    expect(made.diagnostics).toEqual([]);
    all = made.declarations;
  }
  return all;
}

beforeAll(async () => {
  converter = await nodeConverter(process.cwd());
  const text = readFileSync('worksheets/03-two-slits/sheet.ipynb', 'utf8');
  const { cells } = readNotebook(text);
  const head = cells.filter(({ cell_type }) => cell_type === 'code').slice(0, 2);
  declarations = await declared([...head.map(sourceOf), working]);
}, 60_000);

interface Row {
  readonly name: string;
  readonly typed: string;
  readonly meant: string;
  readonly part: string;
}

const listed = (table: Readonly<Record<string, string>>): Row[] =>
  Object.entries(table).flatMap(([name, text]) =>
    rows(text).map(([typed, meant, part]) => ({ name, typed, meant, part })),
  );

const nears = (table: Readonly<Record<string, string>>) =>
  Object.entries(table).flatMap(([name, text]) =>
    text.split(' ¦ ').map((typed) => ({ name, typed: typed.replaceAll('⏎', '\n') })),
  );

/** The line of a cell as another. */
const withLine = (source: string, line: number, text: string) =>
  source
    .split('\n')
    .with(line - 1, text)
    .join('\n');

describe('what the compiler refuses', () => {
  test.each(listed(mistakes))('$name: $typed', async ({ name, typed, meant, part }) => {
    const source = typed.replace('▸', '');
    const made = await converter.convert(declarations, source);
    expect(made.diagnostics).not.toEqual([]);
    const { words } = made;
    expect(words).toMatchObject({ entry: name, ...placeIn(typed) });
    expect(words?.says).toContain(part);
    const wanted = meant === '–' ? undefined : meant.replace(/^…/, '');
    expect(words?.instead?.trim()).toBe(wanted?.trim());
  });

  test.each(nears(nearMisses))('not $name: $typed', async ({ name, typed }) => {
    const { words } = await converter.convert(declarations, typed);
    expect(words).not.toMatchObject({ entry: name });
  });

  test('what is proposed is of the language: the compiler takes all of it', async () => {
    // Each in a block of its own, so that they may use the same names.
    const blocks = listed(mistakes)
      .filter(({ meant }) => !/^(?:–|…|import\b)/.test(meant))
      .filter(({ meant }) => !stillWrong.includes(meant))
      .map(({ meant }) => `{ ${meant}\n}`);
    expect(blocks.length).toBeGreaterThan(100);
    const { diagnostics } = await converter.convert(declarations, blocks.join('\n'));
    const lines = blocks.join('\n').split('\n');
    expect(diagnostics.map(({ line, message }) => `${lines[line - 1]}: ${message}`)).toEqual([]);
  });

  test('every entry of the table has a mistake that it knows and one near to it that it does not', () => {
    const names = entries.map(({ name }) => name).sort();
    expect(new Set(names).size).toBe(names.length);
    expect(Object.keys(mistakes).sort()).toEqual(names);
    expect(Object.keys(nearMisses).sort()).toEqual(names);
    expect(names.length).toBeGreaterThanOrEqual(40);
  });
});

describe('what runs and is surely not meant', () => {
  test.each(listed(remarked))('$name: $typed', async ({ name, typed, meant, part }) => {
    const source = typed.replace('▸', '');
    const made = await converter.convert(declarations, source);
    expect(made.diagnostics).toEqual([]);
    const [remark] = made.remarks ?? [];
    expect(remark).toMatchObject({ entry: name, ...placeIn(typed) });
    expect(remark.says).toContain(part);
    expect(remark.instead?.trim()).toBe(meant);
    const again = await converter.convert(
      declarations,
      withLine(source, remark.line, remark.instead ?? ''),
    );
    expect(again).toMatchObject({ diagnostics: [] });
    expect(again.remarks).toBeUndefined();
  });

  test.each(nears(rightToRemark))('not $name: $typed', async ({ typed }) => {
    const { diagnostics, remarks } = await converter.convert(declarations, typed);
    expect(diagnostics).toEqual([]);
    expect(remarks).toBeUndefined();
  });

  test('every entry has both', () => {
    const names = remarkEntries.map(({ name }) => name).sort();
    expect(Object.keys(remarked).sort()).toEqual(names);
    expect(Object.keys(rightToRemark).sort()).toEqual(names);
  });
});
