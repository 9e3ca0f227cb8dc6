import { existsSync } from 'node:fs';
import { mkdir } from 'node:fs/promises';
import { homedir } from 'node:os';
import { delimiter, join } from 'node:path';
import { replaceFile } from './files';
import { built, homeRequire } from './home';
import { protocolVersion } from './wire';

/**
 * The command that starts the kernel, program first.
 * A cell stopped in the middle of a callback leaves Node's record of asynchronous calls unbalanced;
 * with its check on, Node would end the process for that.
 */
export function kernelCommand(connectionFile: string): string[] {
  return [
    process.execPath,
    '--no-force-async-hooks-checks',
    built('kernel.cjs'),
    '--connection',
    connectionFile,
  ];
}

/** The kernel's name in Jupyter: the folder of its kernelspec, and the notebooks' `kernelspec.name`. */
const kernelName = 'multislit';

/** What Jupyter reads to start the kernel. */
export const kernelspec = () => ({
  argv: kernelCommand('{connection_file}'),
  display_name: 'multislit (TypeScript)',
  language: 'typescript',
  interrupt_mode: 'message',
  metadata: {},
});

/** Two slits and their fringes, for the front ends' launchers. */
const logo = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 64 64">
<rect width="64" height="64" rx="6" fill="#fbfaf6"/>
<path d="M12 6v12M12 26v12M12 46v12" stroke="#1d3f72" stroke-width="5"/>
<path d="M54 6C44 9 44 11 54 14 42 18 42 21 54 24 28 29 28 35 54 40 42 43 42 46 54 50 44 53 44 55 54 58" fill="none" stroke="#1d3f72" stroke-width="3"/>
</svg>
`;

/**
 * This user's Jupyter data folder, as Jupyter itself finds it.
 *
 * @see Jupyter documentation, "Common Directories and File Locations", Data files
 */
export function dataFolder(
  env: NodeJS.ProcessEnv = process.env,
  platform: NodeJS.Platform = process.platform,
  homeFolder: string = homedir(),
): string {
  if (env.JUPYTER_DATA_DIR) return env.JUPYTER_DATA_DIR;
  if (platform === 'darwin') return join(homeFolder, 'Library', 'Jupyter');
  if (platform === 'win32')
    return join(env.APPDATA ?? join(homeFolder, 'AppData', 'Roaming'), 'jupyter');
  return join(env.XDG_DATA_HOME || join(homeFolder, '.local', 'share'), 'jupyter');
}

/** Data folders that Jupyter looks in, this user's before the machine's. */
function dataFolders(): string[] {
  const { JUPYTER_PATH = '', PROGRAMDATA } = process.env;
  const machine =
    process.platform === 'win32'
      ? [join(PROGRAMDATA ?? 'C:\\ProgramData', 'jupyter')]
      : ['/usr/local/share/jupyter', '/usr/share/jupyter'];
  return [...JUPYTER_PATH.split(delimiter).filter(Boolean), dataFolder(), ...machine];
}

const specFolder = (data: string) => join(data, 'kernels', kernelName);
const specFile = (data: string) => join(specFolder(data), 'kernel.json');

/**
 * Write the kernelspec where Jupyter looks. Needs no Python. Again after Node or the project moved.
 *
 * @param options.dir another Jupyter data folder than this user's
 * @returns the folder of the kernelspec
 */
export async function installKernel({ dir }: { dir?: string } = {}): Promise<string> {
  const folder = specFolder(dir ?? dataFolder());
  await mkdir(folder, { recursive: true });
  await replaceFile(join(folder, 'logo-svg.svg'), logo);
  await replaceFile(join(folder, 'kernel.json'), `${JSON.stringify(kernelspec(), undefined, 2)}\n`);
  return folder;
}

/** The folder of the kernelspec that Jupyter would use, or undefined when there is none. */
export async function whereKernel({ dir }: { dir?: string } = {}): Promise<string | undefined> {
  const found = (dir ? [dir] : dataFolders()).find((data) => existsSync(specFile(data)));
  return found && specFolder(found);
}

const version: string = homeRequire('./package.json').version;
const compiler: string = homeRequire('@tslab/typescript-for-tslab/package.json').version;

/** The answer to `kernel_info_request`. */
export const kernelInfo = {
  status: 'ok',
  protocol_version: protocolVersion,
  implementation: 'multislit',
  implementation_version: version,
  language_info: {
    name: 'typescript',
    version: compiler,
    mimetype: 'text/typescript',
    file_extension: '.ts',
    pygments_lexer: 'typescript',
    // What Jupyter's own front ends need to colour TypeScript.
    codemirror_mode: { name: 'javascript', mode: 'typescript', typescript: true },
  },
  banner: `multislit ${version}: cells in TypeScript, with the diffraction library at hand`,
  help_links: [],
};
