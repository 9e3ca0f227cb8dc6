import { render } from 'preact';
import type { Host } from '../page/net/host';
import { Page } from '../page/view/page';
import { BrowserFiles } from './browser-files';
import { BrowserKernel } from './browser-kernel';
import { Offline } from './offline';
import { siteFile } from './site';

/** Styles that scripts make, the editor's and the figures', are let in by a word that nobody can know before. */
function letInOwnStyles(): void {
  const word = crypto.randomUUID();
  document.body.dataset.nonce = word;
  const policy = document.createElement('meta');
  policy.httpEquiv = 'Content-Security-Policy';
  policy.content = `style-src 'self' 'nonce-${word}'; style-src-attr 'unsafe-inline'`;
  document.head.append(policy);
}

letInOwnStyles();
document.body.dataset.plotting = siteFile('page/plotly.min.js');
const offline = new Offline();
const host: Host = {
  files: new BrowserFiles(),
  kernelFor: () => new BrowserKernel(),
  renewal: offline,
};
offline.begin();
window.multislitStands = true;
render(<Page host={host} />, document.getElementById('app')!);
