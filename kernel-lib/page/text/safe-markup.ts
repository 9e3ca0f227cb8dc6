import DOMPurify, { type Config } from 'dompurify';
import formulas from 'formulas-ahead';
import { escapeText } from '../../display/bundle';
import { createMarkdown, type SetFormula } from './markdown';

const forbidden = [
  'style',
  'form',
  'input',
  'button',
  'select',
  'textarea',
  'iframe',
  'object',
  'embed',
  'dialog',
  'video',
  'audio',
  'link',
  'meta',
  'base',
];

const settings: Config = {
  USE_PROFILES: { html: true, mathMl: true, svg: true, svgFilters: true },
  FORBID_TAGS: forbidden,
  FORBID_ATTR: [
    'id',
    'name',
    'srcset',
    'autofocus',
    'contenteditable',
    'popover',
    'accesskey',
    'tabindex',
  ],
  ALLOW_DATA_ATTR: false,
  ALLOW_UNKNOWN_PROTOCOLS: false,
};

/** Attributes whose address a browser asks for by itself, or tells that a link was followed. */
const fetched = /^(?:src|href|xlink:href|background|poster|ping)$/i;
/** What CSS fetches by, in `style` and in SVG's attributes; a backslash may hide it. */
const fetchingStyle = /\\|(?:url|src|image|image-set|cross-fade)\((?!\s*['"]?\s*#)/i;
const isWords = /^(?:alt|title|class|aria-.*)$/i;

/**
 * A text may be from anybody: what it names is not asked for, of the page's own server either, where a mere request may
 * act in the reader's name. Pictures stand in the text itself; a link is followed by who clicks it.
 */
function fetchNothing(node: Element): void {
  for (const { name, value } of [...node.attributes]) {
    if (isWords.test(name) || (node.tagName === 'A' && name === 'href')) continue;
    const isHere = /^\s*(?:#|data:image\/)/i.test(value);
    const asks = fetched.test(name) ? !isHere : fetchingStyle.test(value);
    if (asks) node.removeAttribute(name);
  }
}

DOMPurify.addHook('afterSanitizeAttributes', (node) => {
  fetchNothing(node);
  if (node.tagName !== 'A') return;
  node.setAttribute('target', '_blank');
  node.setAttribute('rel', 'noopener noreferrer');
});

/** HTML of unknown origin made safe to show: no scripts, no handlers, no forms, nothing that acts. */
export function sanitise(html: string): string {
  return DOMPurify.sanitize(html, settings);
}

/** What sets formulas that the build has not set, once it was wanted and has come. */
let late: SetFormula | undefined;
let isWanting = false;

const markdown = createMarkdown((tex, isDisplay) => {
  const known = formulas[isDisplay ? 'display' : 'inline'];
  if (Object.hasOwn(known, tex)) return known[tex];
  if (late) return late(tex, isDisplay);
  isWanting = true;
  const dollars = isDisplay ? '$$' : '$';
  return escapeText(`${dollars}${tex}${dollars}`);
});

/** Attachments of a cell: name → mime bundle with base64 data. */
type Attachments = Record<string, unknown>;

function withAttachments(source: string, attachments: Attachments): string {
  return source.replace(/\(attachment:([^)\s]+)/g, (whole, name: string) => {
    const bundle = attachments[decodeURIComponent(name)] as Record<string, unknown> | undefined;
    const [mime, data] = Object.entries(bundle ?? {})[0] ?? [];
    if (!mime?.startsWith('image/') || typeof data !== 'string') return whole;
    return `(data:${mime};base64,${data.replace(/\s/g, '')}`;
  });
}

/** A text as safe HTML; where formulas still stand as they were typed, what to wait for to have them set. */
interface Rendered {
  readonly html: string;
  readonly later?: () => Promise<void>;
}

/** Markdown with formulas as safe HTML. */
export function renderMarkdown(source: string, attachments: Attachments = {}): Rendered {
  isWanting = false;
  const html = sanitise(markdown(withAttachments(source, attachments)));
  return isWanting ? { html, later: fetchSetter } : { html };
}

async function fetchSetter(): Promise<void> {
  const { formulaHtml } = await import('./formula');
  late = formulaHtml;
}
