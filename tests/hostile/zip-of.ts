import { crc32 } from 'node:zlib';
import { deflateSync, strToU8 } from 'fflate';

/** A file to pack, with lies that its headers may tell. */
export interface EntryToPack {
  readonly name: string | Uint8Array;
  readonly content: string | Uint8Array;
  readonly flags?: number;
  readonly method?: number;
  readonly size?: number;
  readonly crc?: number;
}

/**
 * A zip written by hand, since packing programs write no harmful ones.
 *
 * @see PKWARE APPNOTE 6.3, sections 4.3.7, 4.3.12 and 4.3.16 (from memory)
 */
export function zipOf(
  entries: readonly EntryToPack[],
  { count = entries.length }: { count?: number } = {},
): Uint8Array {
  const files: Buffer[] = [];
  const list: Buffer[] = [];
  let at = 0;
  for (const { name, content, flags = 0, method = 8, ...lies } of entries) {
    const bytes = typeof content === 'string' ? strToU8(content) : content;
    const packed = deflateSync(bytes);
    const raw = typeof name === 'string' ? strToU8(name) : name;
    const common = Buffer.alloc(26);
    common.writeUInt16LE(20, 0);
    common.writeUInt16LE(flags, 2);
    common.writeUInt16LE(method, 4);
    common.writeUInt32LE(lies.crc ?? crc32(bytes), 10);
    common.writeUInt32LE(packed.length, 14);
    common.writeUInt32LE(lies.size ?? bytes.length, 18);
    common.writeUInt16LE(raw.length, 22);
    const file = Buffer.concat([Buffer.from('PK\x03\x04'), common, raw, packed]);
    const rest = Buffer.alloc(14);
    rest.writeUInt32LE(at, 10);
    list.push(Buffer.concat([Buffer.from('PK\x01\x02\x14\0'), common, rest, raw]));
    files.push(file);
    at += file.length;
  }
  const directory = Buffer.concat(list);
  const end = Buffer.alloc(22);
  end.write('PK\x05\x06', 'latin1');
  end.writeUInt16LE(count, 8);
  end.writeUInt16LE(count, 10);
  end.writeUInt32LE(directory.length, 12);
  end.writeUInt32LE(at, 16);
  return Buffer.concat([...files, directory, end]);
}
