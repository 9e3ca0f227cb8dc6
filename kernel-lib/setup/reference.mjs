// `npm run reference`: the library's reference, made from its docstrings, in .build/reference/.
import './node-version.mjs';
import { readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { isMain, root } from './places.mjs';

/** Chapters, in the order in which a reader meets them; each is a folder of which index.ts exports names. */
export const chapters = {
  quantity: 'Units, angles, uncertainty',
  aperture: 'Slits and their patterns',
  light: 'Light and colour',
  camera: 'Film strips',
  spectrometer: 'Spectrometer',
  fitting: 'Profiles and fits',
  figures: 'Figures',
  questions: 'Sheets and questions',
  numerics: 'Numerics',
  display: 'Showing things, for front ends',
};

/** Folders that index.ts exports from. */
export function exportedFolders() {
  const index = readFileSync(join(root, 'kernel-lib', 'index.ts'), 'utf8');
  return [...new Set([...index.matchAll(/'\.\/(\w+)\//g)].map(([, folder]) => folder))];
}

/** The folder of kernel-lib/ that a file lies in. */
const folderOf = (path) => /kernel-lib\/(\w+)\//.exec(path.replaceAll('\\', '/'))?.[1];

/** Formulas stand by themselves, set in by two spaces: Markdown leaves them as they are when set in by four. */
export function withFormulas(text) {
  return text.replace(/(?<=^|\n\n)(?: {2,}\S.*(?:\n|$))+/g, (lines) =>
    lines.replace(/^ {2}/gm, '    '),
  );
}

/** Write the pages. @returns {Promise<string[]>} what TypeDoc complains of, a sentence each */
export async function writeReference(to = join(root, '.build', 'reference')) {
  const { Application, Comment, CommentTag, Converter, LogLevel } = await import('typedoc');
  const app = await Application.bootstrap({
    entryPoints: [join(root, 'kernel-lib', 'index.ts')],
    tsconfig: join(root, 'kernel-lib', 'setup', 'tsconfig.types.json'),
    name: 'multislit, the library',
    readme: join(root, 'kernel-lib', 'setup', 'reference.md'),
    categorizeByGroup: false,
    categoryOrder: Object.values(chapters),
    navigation: { includeCategories: true, includeGroups: false },
    sort: ['alphabetical'],
    excludeInternal: true,
    excludePrivate: true,
    disableSources: true,
    disableGit: true,
    hideGenerator: true,
    searchInComments: true,
    validation: { notExported: false, invalidLink: true, invalidPath: true },
    logLevel: LogLevel.Warn,
  });
  const complaints = [];
  app.logger.addContext = (message, level) => {
    if (level >= LogLevel.Warn) complaints.push(message);
    return message;
  };
  app.converter.on(Converter.EVENT_CREATE_DECLARATION, (_, reflection) => {
    if (!reflection.parent?.isProject()) return;
    const file = reflection.project.getSymbolIdFromReflection(reflection)?.fileName ?? '';
    reflection.comment ??= new Comment();
    const chapter = chapters[folderOf(file)];
    reflection.comment.blockTags.push(
      new CommentTag('@category', [{ kind: 'text', text: chapter }]),
    );
  });
  app.converter.on(Converter.EVENT_RESOLVE_BEGIN, ({ project }) => {
    for (const { comment } of Object.values(project.reflections))
      for (const part of comment?.summary ?? [])
        if (part.kind === 'text') part.text = withFormulas(part.text);
  });
  const project = await app.convert();
  if (!project) throw new Error('The reference cannot be made; see above.');
  app.validate(project);
  rmSync(to, { recursive: true, force: true });
  await app.generateDocs(project, to);
  return complaints;
}

if (isMain(import.meta.url)) {
  const complaints = await writeReference();
  for (const complaint of complaints) console.error(complaint);
  console.log('Open .build/reference/index.html');
  if (complaints.length > 0) process.exitCode = 1;
}
