/** A Jupyter message's header, protocol 5.3. */
export interface Header {
  msg_id: string;
  msg_type: string;
  session: string;
  username: string;
  date: string;
  version: string;
}

/** What identifies the request that a message answers; `{}` when it answers none. */
export type ParentHeader = Header | Record<string, never>;

/** One Jupyter message, without its routing. */
export interface Message {
  header: Header;
  parent_header: ParentHeader;
  metadata: Record<string, unknown>;
  content: Record<string, unknown>;
  buffers: Uint8Array[];
}

export const protocolVersion = '5.3';
