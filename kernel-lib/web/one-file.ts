import { unzipSync } from 'fflate';
import type { FrameSays } from './messages';

// The first script of a site in one file: it unpacks the parts, gives each an address of its own within this page, and
// starts the page with them. No server and no connection is asked for anything.

const types: Readonly<Record<string, string>> = { js: 'text/javascript', css: 'text/css' };

/** As many bytes are made text at once. */
const piece = 0x8000;

/** Data stand in their address: workers of a page without a server may not ask that page for more than their program. */
function dataAddress(bytes: Uint8Array): string {
  let binary = '';
  for (let at = 0; at < bytes.length; at += piece)
    binary += String.fromCharCode(...bytes.subarray(at, at + piece));
  return `data:;base64,${btoa(binary)}`;
}

function unpack(): Record<string, string> {
  const packed = document.getElementById('packed') as HTMLElement;
  const binary = atob(packed.textContent ?? '');
  packed.remove();
  const files = unzipSync(Uint8Array.from(binary, (letter) => letter.charCodeAt(0)));
  const addresses = Object.entries(files).map(([path, bytes]) => {
    if (!path.startsWith('page/')) return [path, dataAddress(bytes)] as const;
    const type = types[path.slice(path.lastIndexOf('.') + 1)];
    return [path, URL.createObjectURL(new Blob([bytes as BlobPart], { type }))] as const;
  });
  return Object.fromEntries(addresses);
}

function add(name: string, attributes: Readonly<Record<string, string>>): void {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  document.head.append(element);
}

const theFrame = () => document.querySelector('iframe') as HTMLIFrameElement;

/** The frame stands, and has taken the policy that it needs: from here on the page itself may evaluate nothing. */
function start(): void {
  theFrame().dataset.up = 'true';
  add('meta', { 'http-equiv': 'Content-Security-Policy', content: 'script-src blob:' });
  const parts = unpack();
  add('meta', { name: 'parts', content: JSON.stringify(parts) });
  add('link', { rel: 'stylesheet', href: parts['page/app-style.css'] });
  add('script', { src: parts['page/app.js'] });
}

let isWhole = false;
let isUp = false;
const look = () => isWhole && isUp && start();
addEventListener('DOMContentLoaded', () => {
  isWhole = true;
  look();
});
addEventListener('message', function hear({ source, data }: MessageEvent<FrameSays>) {
  if (source !== theFrame()?.contentWindow || !('frame' in data) || data.frame !== 'up') return;
  removeEventListener('message', hear);
  isUp = true;
  look();
});
