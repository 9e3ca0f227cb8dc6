import { render } from 'preact';
import type { Host } from '../page/net/host';
import { Page } from '../page/view/page';
import { BrowserFiles } from './browser-files';
import { BrowserKernel } from './browser-kernel';

/** What the page cannot do without, in words; undefined when all is there. */
function lacking(): string | undefined {
  if (!isSecureContext)
    return 'This page needs an address that begins with https:// (or this very computer): ask whoever gave you the address.';
  const needed = [indexedDB, navigator.locks, globalThis.crypto?.subtle, globalThis.Worker];
  if (needed.some((each) => !each) || !('findLast' in []))
    return 'This browser is too old for the worksheets: bring it up to date, or use another.';
  return undefined;
}

/** Styles that scripts make, the editor's and the figures', are let in by a word that nobody can know before. */
function letInOwnStyles(): void {
  const word = crypto.randomUUID();
  document.body.dataset.nonce = word;
  const policy = document.createElement('meta');
  policy.httpEquiv = 'Content-Security-Policy';
  policy.content = `style-src 'self' 'nonce-${word}'; style-src-attr 'unsafe-inline'`;
  document.head.append(policy);
}

const place = document.getElementById('app')!;
const fault = lacking();
if (fault) {
  const said = document.createElement('p');
  said.setAttribute('role', 'alert');
  said.textContent = fault;
  place.append(said);
} else {
  letInOwnStyles();
  const host: Host = { files: new BrowserFiles(), kernelFor: (path) => new BrowserKernel(path) };
  render(<Page host={host} />, place);
}
