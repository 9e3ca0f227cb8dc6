import { homeRequire } from './home';
import { protocolVersion } from './message';

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
