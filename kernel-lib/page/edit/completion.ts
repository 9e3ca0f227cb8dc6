import type { Completion, CompletionContext, CompletionResult } from '@codemirror/autocomplete';
import type { KernelLink } from '../net/kernel-link';
import { codePointsBefore, indexOfCodePoint } from './code-points';

interface TypedMatch {
  text: string;
  type?: string;
  signature?: string;
}

/** Longest the editor waits for the kernel, which may be computing. */
const patience = 3000;

const within = <T>(promise: Promise<T>): Promise<T | undefined> =>
  Promise.race([promise, new Promise<undefined>((done) => setTimeout(done, patience, undefined))]);

/** Completions come from the kernel, which knows the types of everything run so far. */
export function kernelCompletion(link: KernelLink) {
  return async (context: CompletionContext): Promise<CompletionResult | null> => {
    const word = context.matchBefore(/[\w$]+|\./);
    if (!word && !context.explicit) return null;
    const code = context.state.doc.toString();
    const reply = await within(
      link.complete(code, codePointsBefore(code, context.pos)).catch(() => undefined),
    );
    if (reply?.status !== 'ok' || context.aborted) return null;
    const from = indexOfCodePoint(code, reply.cursor_start);
    const typed = (reply.metadata?._jupyter_types_experimental ?? []) as unknown as TypedMatch[];
    const byText = new Map(typed.map((match) => [match.text, match]));
    const options = reply.matches.map((label): Completion => {
      const match = byText.get(label);
      return {
        label,
        detail: match?.signature ?? match?.type,
        info: () => about(link, code.slice(0, from) + label, code.slice(context.pos)),
      };
    });
    return { from, options, validFor: /^[\w$]*$/ };
  };
}

/** Type and description of what would stand there. */
async function about(link: KernelLink, before: string, after: string): Promise<Node | null> {
  const code = before + after;
  const reply = await within(
    link.inspect(code, codePointsBefore(code, before.length)).catch(() => undefined),
  );
  const text = reply?.status === 'ok' && reply.found ? reply.data['text/plain'] : undefined;
  if (typeof text !== 'string') return null;
  const box = document.createElement('div');
  box.className = 'about';
  box.textContent = text;
  return box;
}
