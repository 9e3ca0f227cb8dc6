import typescript from '@tslab/typescript-for-tslab';

/** Parts of the compiler that its typings leave out. */
interface Internal {
  bindSourceFile(file: typescript.SourceFile, options: typescript.CompilerOptions): void;
  isAssignmentTarget(node: typescript.Node): boolean;
  setSys(system: typescript.System): void;
  matchFiles(
    path: string,
    extensions: readonly string[] | undefined,
    excludes: readonly string[] | undefined,
    includes: readonly string[] | undefined,
    useCaseSensitiveFileNames: boolean,
    currentDirectory: string,
    depth: number | undefined,
    entries: (path: string) => { files: readonly string[]; directories: readonly string[] },
    realpath: (path: string) => string,
  ): string[];
}

/** The compiler that tslab brings, the very instance that tslab's converter uses. */
export const ts = typescript as typeof typescript & Internal;

export type { typescript as TypeScript };
