#!/usr/bin/env node
// `npx multislit …`: in a working copy build first if a source is newer; in an installed package just run.
import './node-version.mjs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { isWorkingCopy, root } from './places.mjs';

try {
  if (isWorkingCopy()) {
    const { buildIfStale } = await import('./build.mjs');
    await buildIfStale();
  }
  createRequire(import.meta.url)(join(root, '.build', 'cli.cjs'));
} catch (error) {
  console.error(error.message);
  process.exitCode = 1;
}
