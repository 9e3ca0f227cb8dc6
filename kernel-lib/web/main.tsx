import { render } from 'preact';
import { stayInThisPage } from '../page/address';
import type { Host } from '../page/net/host';
import { freshName } from '../page/tab';
import { Page } from '../page/view/page';
import { BrowserFiles } from './browser-files';
import { BrowserKernel } from './browser-kernel';
import { Carried } from './carried';
import { KeptTexts, TabsTexts, type Texts } from './kept';
import { Offline } from './offline';
import { hasPart, siteFile, siteRoot } from './site';

/** Styles that scripts make, the editor's and the figures', are let in by a word that nobody can know before. */
function letInOwnStyles(): void {
  const word = freshName();
  document.body.dataset.nonce = word;
  const policy = document.createElement('meta');
  policy.httpEquiv = 'Content-Security-Policy';
  policy.content = `style-src 'self' blob: 'nonce-${word}'; style-src-attr 'unsafe-inline'`;
  document.head.append(policy);
}

/** Where copies are kept: in the browser's own database, or in this tab alone where it has none for this page. */
async function theTexts(): Promise<{ texts: Texts; lasts: boolean }> {
  const texts = new KeptTexts(`multislit ${siteRoot.pathname}`);
  try {
    await texts.look();
    return { texts, lasts: true };
  } catch {
    stayInThisPage();
    return { texts: new TabsTexts(), lasts: false };
  }
}

async function start(): Promise<void> {
  if (window.multislitRefused) return;
  letInOwnStyles();
  const plotly = 'page/plotly.min.js';
  document.body.dataset.plotting = hasPart(plotly) ? siteFile(plotly) : '';
  const { texts, lasts } = await theTexts();
  const renewal = new Offline();
  const files = new BrowserFiles(texts, new Carried(texts, lasts));
  const host: Host = {
    files,
    place: siteRoot.pathname,
    kernelFor: (path) => new BrowserKernel(path, files.beside),
    renewal,
  };
  renewal.begin();
  window.multislitStands = true;
  render(<Page host={host} />, document.getElementById('app')!);
}

void start();
