import { truncateSync } from 'node:fs';
import { handIn } from '../../cli/class-for-test';
import type { HostileFile } from '../hostile-file';

export default {
  tells: 'Has a hundred megabytes.',
  outcome: /^too large$/,
  put(folder, name) {
    truncateSync(handIn(folder, `${name}.ipynb`, '{"cells": ['), 100 * 2 ** 20);
  },
} satisfies HostileFile;
