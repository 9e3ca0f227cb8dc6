import { openComms, receiveComm } from './cell-library';
import { toCharacters, toUnits } from './code-points';
import { isComplete } from './is-complete';
import { kernelInfo } from './kernel-info';
import type { Message } from './message';
import type { Session } from './session';

/** A reply to send, or nothing where the protocol has none. */
type Answer = { type: string; content: Record<string, unknown> } | undefined;

function cursor(content: Message['content']): { code: string; offset: number } {
  const { code, cursor_pos } = content;
  if (typeof code !== 'string') throw new TypeError('The request carries no text in "code".');
  const characters = typeof cursor_pos === 'number' ? cursor_pos : code.length;
  return { code, offset: toUnits(code, characters) };
}

function complete(content: Message['content'], session: Session) {
  const { code, offset } = cursor(content);
  const found = session.converter.complete(session.declarations, code, offset);
  return {
    status: 'ok',
    matches: found.candidates,
    cursor_start: toCharacters(code, found.start),
    cursor_end: toCharacters(code, found.end),
    metadata: {},
  };
}

function inspect(content: Message['content'], session: Session) {
  const { code, offset } = cursor(content);
  const text = session.converter.inspect(session.declarations, code, offset);
  const data = text === undefined ? {} : { 'text/plain': text };
  return { status: 'ok', found: text !== undefined, data, metadata: {} };
}

function comms(content: Message['content']) {
  const wanted = Object.entries(openComms()).filter(
    ([, target]) => content.target_name === undefined || content.target_name === target,
  );
  return {
    status: 'ok',
    comms: Object.fromEntries(wanted.map(([id, target]) => [id, { target_name: target }])),
  };
}

/** True for what a client sends on a line that is open: it has nothing to wait for. */
export function isForOpenComm({ header, content }: Message): boolean {
  const { msg_type } = header;
  if (msg_type !== 'comm_msg' && msg_type !== 'comm_close') return false;
  return String(content.comm_id) in openComms();
}

/** The answer to any request on the shell channel but to run a cell or to end. */
export function answer({ header, content, buffers }: Message, session: () => Session): Answer {
  switch (header.msg_type) {
    case 'kernel_info_request':
      return { type: 'kernel_info_reply', content: kernelInfo };
    case 'complete_request':
      return { type: 'complete_reply', content: complete(content, session()) };
    case 'inspect_request':
      return { type: 'inspect_reply', content: inspect(content, session()) };
    case 'is_complete_request':
      return { type: 'is_complete_reply', content: { ...isComplete(String(content.code ?? '')) } };
    case 'history_request':
      // Notebooks keep their own history; this kernel keeps none.
      return { type: 'history_reply', content: { status: 'ok', history: [] } };
    case 'comm_info_request':
      return { type: 'comm_info_reply', content: comms(content) };
    case 'comm_open':
    case 'comm_msg':
    case 'comm_close': {
      const message = {
        type: header.msg_type,
        id: String(content.comm_id),
        target: String(content.target_name ?? ''),
        data: (content.data ?? {}) as Record<string, unknown>,
        buffers,
      } as const;
      session().within(header, () => receiveComm(message));
      return undefined;
    }
    default:
      return undefined;
  }
}
