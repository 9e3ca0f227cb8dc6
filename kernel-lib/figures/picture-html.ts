import { base64 } from './png/base64';
import { element } from './svg/element';

/**
 * HTML of a static picture. Front ends keep an `<img>` also where they trust nothing; they take SVG out that is
 * written into the page itself. As an image it can neither run scripts nor fetch anything.
 */
export function pictureHtml(svg: string, alt: string): string {
  const src = `data:image/svg+xml;base64,${base64(new TextEncoder().encode(svg))}`;
  return element('img', { alt, src, style: 'max-width:100%;height:auto' });
}
