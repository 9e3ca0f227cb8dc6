import { escapeText } from '../../display/bundle';

type Attributes = Readonly<Record<string, string | number | undefined>>;

/** Hundredths of a picture unit are finer than any screen or printer draws. */
export function round(value: number): number {
  return Math.round(value * 100) / 100;
}

/** One SVG element as markup; attributes that are undefined are left out. */
export function element(
  name: string,
  attributes: Attributes,
  content: string | string[] = '',
): string {
  const list = Object.entries(attributes)
    .filter(([, value]) => value !== undefined)
    .map(([key, value]) => {
      const shown = typeof value === 'number' ? String(round(value)) : escapeText(String(value));
      return ` ${key}="${shown}"`;
    })
    .join('');
  const inner = typeof content === 'string' ? content : content.join('');
  return inner === '' ? `<${name}${list}/>` : `<${name}${list}>${inner}</${name}>`;
}

/** A line of text. */
export function textElement(x: number, y: number, text: string, attributes: Attributes): string {
  return element('text', { x, y, ...attributes }, escapeText(text));
}

/** About how wide a text is set, in picture units: generous, since the reader's font is not known. */
export function textWidth(text: string, size: number): number {
  let ems = 0;
  for (const c of text) {
    if (/[iljtf.,;:'′″!|()[\] ]/.test(c)) ems += 0.36;
    else if (/[mwMW@%]/.test(c)) ems += 0.92;
    else if (/[A-Z−×=+]/.test(c)) ems += 0.72;
    else if (/[⁰¹²³⁴⁵⁶⁷⁸⁹⁻₀₁₂₃₄₅₆₇₈₉]/.test(c)) ems += 0.42;
    else ems += 0.6;
  }
  return ems * size;
}
