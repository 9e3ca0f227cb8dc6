import { createRequire } from 'node:module';
import type * as TypeScript from '@tslab/typescript-for-tslab';
import { homeRequire } from './home';

/** Parts of the compiler that its typings leave out. */
interface Internal {
  bindSourceFile(file: TypeScript.SourceFile, options: TypeScript.CompilerOptions): void;
}

/** The compiler that tslab brings, the very instance that tslab's converter uses. */
export const ts = createRequire(homeRequire.resolve('tslab/package.json'))(
  '@tslab/typescript-for-tslab',
) as typeof TypeScript & Internal;

export type { TypeScript };
