import { render } from 'preact';
import { deskFiles } from './net/desk-files';
import { DeskKernel } from './net/desk-kernel';
import type { Host } from './net/host';
import { Page } from './view/page';

/** The page that a desk serves. */
const host: Host = {
  files: deskFiles,
  place: '',
  kernelFor: (path) => new DeskKernel(path),
  room: () => import('./bench/room'),
};

render(<Page host={host} />, document.getElementById('app')!);
