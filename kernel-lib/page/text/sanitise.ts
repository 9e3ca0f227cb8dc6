import DOMPurify, { type Config } from 'dompurify';

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

DOMPurify.addHook('afterSanitizeAttributes', (node) => {
  if (node.tagName !== 'A') return;
  node.setAttribute('target', '_blank');
  node.setAttribute('rel', 'noopener noreferrer');
});

/** HTML of unknown origin made safe to show: no scripts, no handlers, no forms, nothing that acts. */
export function sanitise(html: string): string {
  return DOMPurify.sanitize(html, settings);
}
