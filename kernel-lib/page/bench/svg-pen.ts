/** Text as it may stand in SVG, between tags and in quotes. */
export const escaped = (text: string) =>
  text.replace(/[&<>"]/g, (sign) => `&#${sign.charCodeAt(0)};`);
const short = (value: number) => String(Number(value.toFixed(2)));

/** Writes down as SVG what is drawn on it; as much of a canvas as slides ask for. */
export class SvgPen {
  readonly parts: string[] = [];
  strokeStyle = '';
  fillStyle = '';
  font = '';
  lineWidth = 1;
  lineJoin = '';
  textAlign = '';
  textBaseline = '';
  globalAlpha = 1;
  private path: string[] = [];
  private box = '';
  private dash: readonly number[] = [];
  private clips = 0;
  private readonly open: number[] = [];

  beginPath() {
    this.path = [];
  }
  moveTo(x: number, y: number) {
    this.path.push(`M${short(x)} ${short(y)}`);
  }
  lineTo(x: number, y: number) {
    this.path.push(`L${short(x)} ${short(y)}`);
  }
  /** Whole circles only. */
  arc(x: number, y: number, r: number) {
    const [left, right, radius] = [x - r, x + r, r].map(short);
    this.path.push(
      `M${right} ${short(y)}A${radius} ${radius} 0 1 1 ${left} ${short(y)}A${radius} ${radius} 0 1 1 ${right} ${short(y)}`,
    );
  }
  rect(x: number, y: number, width: number, height: number) {
    this.box = `<rect x="${short(x)}" y="${short(y)}" width="${short(width)}" height="${short(height)}"`;
  }
  clearRect() {}
  fillRect(x: number, y: number, width: number, height: number) {
    this.rect(x, y, width, height);
    this.parts.push(`${this.box} fill="${escaped(this.fillStyle)}"/>`);
  }
  stroke() {
    const dash =
      this.dash.length > 0 ? ` stroke-dasharray="${this.dash.map(short).join(' ')}"` : '';
    this.parts.push(
      `<path d="${this.path.join('')}" fill="none" stroke="${escaped(this.strokeStyle)}" stroke-width="${short(this.lineWidth)}" stroke-linejoin="bevel"${dash}/>`,
    );
  }
  fillText(text: string, x: number, y: number) {
    const size = Number.parseFloat(/([\d.]+)px/.exec(this.font)?.[1] ?? '16');
    const family = this.font.slice(this.font.indexOf('px ') + 3);
    const anchor = { center: 'middle', right: 'end' }[this.textAlign] ?? 'start';
    // Of letters that stand on no line only their height is known everywhere.
    const down = { top: 0.8, middle: 0.36 }[this.textBaseline] ?? 0;
    const bold = this.font.startsWith('bold') ? ' font-weight="bold"' : '';
    this.parts.push(
      `<text x="${short(x)}" y="${short(y + down * size)}" text-anchor="${anchor}" font-family="${escaped(family)}" font-size="${size}"${bold} fill="${escaped(this.fillStyle)}">${escaped(text)}</text>`,
    );
  }
  setLineDash(dash: readonly number[]) {
    this.dash = dash;
  }
  save() {
    this.open.push(0);
  }
  clip() {
    const id = `clip-${++this.clips}`;
    this.parts.push(`<clipPath id="${id}">${this.box}/></clipPath><g clip-path="url(#${id})">`);
    this.open[this.open.length - 1] += 1;
  }
  translate(x: number, y: number) {
    this.parts.push(`<g transform="translate(${short(x)} ${short(y)})">`);
    this.open[this.open.length - 1] += 1;
  }
  restore() {
    this.parts.push('</g>'.repeat(this.open.pop() ?? 0));
  }
}

const inlined = [
  'fill',
  'stroke',
  'stroke-width',
  'stroke-dasharray',
  'stroke-linecap',
  'stroke-linejoin',
  'font-size',
  'font-family',
  'font-style',
  'font-weight',
  'display',
];

/** A drawing of the page as it looks there, complete in itself. */
export function complete(svg: SVGElement, x: number, y: number, size: number): string {
  const copy = svg.cloneNode(true) as SVGElement;
  const copies = [copy, ...copy.querySelectorAll<SVGElement>('*')];
  for (const [i, one] of [svg, ...svg.querySelectorAll<SVGElement>('*')].entries()) {
    const style = getComputedStyle(one);
    for (const name of inlined) copies[i].style.setProperty(name, style.getPropertyValue(name));
    copies[i].removeAttribute('class');
  }
  for (const [name, value] of Object.entries({ x, y, width: size, height: size }))
    copy.setAttribute(name, String(value));
  return new XMLSerializer().serializeToString(copy);
}
