import { readFileSync } from 'node:fs';
import { type Zippable, zipSync } from 'fflate';
import { base64 } from '../display/base64';
import { escapeText } from '../display/bundle';
import { built } from '../kernel/home';
import type { Files } from './hand-out-files';
import { frameDocument, integrityOf } from './site-files';
import { iconSvg } from './site-icon';

const made = (name: string) => readFileSync(built(`web/${name}`), 'utf8');

/** What the page in one file does not ask for: its program is one script, and figures keep still without plotly. */
const isLeftOut = (path: string) =>
  /^page\/(?!app-style\.css$|checker\.js$|runner\.js$)/.test(path);

/** Letters that hardly any formula has are left to the browser's own fonts. */
const isRare = /KaTeX_(?:Fraktur|SansSerif|Script|Typewriter)/;

/** The style sheet with its fonts in it, each in the one form that every present browser reads. */
function styleWithFonts(parts: Files): string {
  const text = String(Buffer.from(parts.get('page/app-style.css') ?? ''));
  return text.replace(/@font-face\{[^}]*\}/g, (face) => {
    if (isRare.test(face)) return '';
    return face.replace(/src:.*?([\w-]+\.woff2).*?(?=[;}])/, (_, name: string) => {
      const font = base64(Buffer.from(parts.get(`page/${name}`) ?? ''));
      return `src:url(data:font/woff2;base64,${font}) format("woff2")`;
    });
  });
}

/** Text between two script tags ends at the first thing that looks like the closing one. */
const inScript = (text: string) => text.replaceAll('</script', '<\\/script');

/**
 * A site of one sheet as one page of HTML that needs no server: it runs from a memory stick.
 *
 * @param parts as `siteParts` makes them for that sheet
 */
export function oneFile(parts: Files, title: string): string {
  const packed: Zippable = {};
  for (const [path, content] of parts) if (!isLeftOut(path)) packed[path] = Buffer.from(content);
  packed['page/app.js'] = Buffer.from(made('one-file-app.js'));
  packed['page/app-style.css'] = Buffer.from(styleWithFonts(parts));
  const [guard, boot] = [made('guard.js'), made('one-file.js')].map(inScript);
  const script = made('frame.js');
  const fill: Record<string, string> = {
    digests: [guard, boot, script].map(integrityOf).join("' '"),
    title: escapeText(title),
    icon: `data:image/svg+xml;base64,${base64(Buffer.from(iconSvg()))}`,
    scripts: ` -->${[guard, boot].map((text) => `<script>${text}</script>`).join('')}<!-- `,
    frame: escapeText(frameDocument(script, true)),
    packed: base64(zipSync(packed, { level: 9, mtime: new Date(1980, 0, 1) })),
  };
  return made('one-file.html').replace(/\{\{(\w+)\}\}/g, (_, name: string) => fill[name]);
}
