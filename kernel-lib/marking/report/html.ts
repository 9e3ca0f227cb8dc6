import { escapeText } from '../../display/bundle';

/** Text inside HTML: nothing a student wrote is ever markup. A number keeps its unit in its line. */
export const escaped = (text: string): string =>
  escapeText(text).replace(/(\d) (?=%|(?:s|m|mm|µm|nm|cm|rad|mrad)(?!\p{L}))/gu, '$1\u00a0');

const style = `
body{margin:0;background:#e9e6dc;color:#1d2430;font:17px/1.55 Charter,"Bitstream Charter",Cambria,"DejaVu Serif",serif}
main{max-width:46rem;margin:2rem auto;padding:2.5rem 3rem;background:#fdfcf8;border:1px solid #d8d3c5;overflow-wrap:anywhere}
th{overflow-wrap:normal}h1{font-size:1.7rem;line-height:1.2;margin:0 0 .3rem}h2{font-size:1.25rem;margin:2.2rem 0 .4rem;border-bottom:1.5px solid #1d2430}
h3{font-size:1rem;margin:1.4rem 0 .3rem}p{margin:.5rem 0}.soft{color:#565e6a;font-size:.9rem}
.question{display:grid;grid-template-columns:3rem 1fr 4.5rem;gap:.8rem;margin:.9rem 0;break-inside:avoid}
.number{font-weight:700;color:#1f4b99}.said{padding-left:.8rem;border-left:5px solid #1e6b3c}
.said.not{border-left-style:double;border-left-color:#8a4b08}.said.read{border-left-style:dotted;border-left-color:#1f4b99}
.mark{border:1.5px solid #1d2430;text-align:center;padding:.35rem 0;align-self:start;white-space:nowrap}
.ticks{list-style:none;margin:.3rem 0;padding:0}.ticks li{padding-left:1.6rem;text-indent:-1.6rem}.ticks li::before{content:"☐";display:inline-block;width:1.6rem;text-indent:0}
.ticks .met::before{content:"☑"}.ticks .partly-met::before{content:"◧"}
table{border-collapse:collapse;width:100%;font-size:.92rem;margin:.6rem 0}th,td{text-align:left;vertical-align:top;padding:.25rem .6rem .25rem 0;border-bottom:1px solid #d8d3c5}
td{min-width:5rem}td:first-child{min-width:2.3rem}td.n{min-width:0}td.n,th.n{text-align:right;font-variant-numeric:tabular-nums}figure{margin:1rem 0}figure svg{max-width:100%;height:auto}
details{margin:.3rem 0}summary{cursor:pointer;color:#1f4b99}pre{background:#f6f3ea;margin:.3rem 0;padding:.5rem .7rem;font:.8rem/1.5 ui-monospace,"DejaVu Sans Mono",monospace;white-space:pre-wrap}pre.text{font:inherit}
figcaption{color:#565e6a;font-size:.9rem}code{font-size:.88em}a{color:#1f4b99}
@media(max-width:40rem){main{margin:0;padding:1.2rem}.question{grid-template-columns:2.2rem 1fr 3.6rem}table{display:block;overflow-x:auto}}
@media print{body{background:none}main{border:0;margin:0;padding:0;max-width:none}}`;

/** A whole page that stands by itself: no scripts, nothing to fetch. */
export function page(title: string, body: readonly string[]): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<title>${escaped(title)}</title>
<style>${style}</style>
</head>
<body>
<main>
${body.join('\n')}
</main>
</body>
</html>
`;
}

/** A table; the columns named in `numbers` stand right. */
export function table(
  head: readonly string[],
  rows: readonly (readonly (string | number)[])[],
  numbers: readonly number[] = [],
): string {
  const line = (cells: readonly (string | number)[], tag: 'th' | 'td') =>
    `<tr>${cells.map((cell, i) => `<${tag}${numbers.includes(i) ? ' class="n"' : ''}>${escaped(String(cell))}</${tag}>`).join('')}</tr>`;
  return `<table>\n<thead>${line(head, 'th')}</thead>\n<tbody>\n${rows.map((row) => line(row, 'td')).join('\n')}\n</tbody>\n</table>`;
}
