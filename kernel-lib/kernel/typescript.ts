import { createRequire } from 'node:module';
import type * as TypeScript from '@tslab/typescript-for-tslab';
import { requireCompiled } from './compiled-module';
import { homeRequire } from './home';

/** Parts of the compiler that its typings leave out. */
interface Internal {
  bindSourceFile(file: TypeScript.SourceFile, options: TypeScript.CompilerOptions): void;
}

const requireFromTslab = createRequire(homeRequire.resolve('tslab/package.json'));
const { version } = requireFromTslab('@tslab/typescript-for-tslab/package.json');

/** The compiler that tslab brings, the very instance that tslab's converter uses. */
export const ts = requireCompiled(
  requireFromTslab.resolve('@tslab/typescript-for-tslab'),
  `typescript-${version}`,
) as typeof TypeScript & Internal;

export type { TypeScript };
