/** A file that was dropped or chosen, with its path within what was dropped. */
export interface Dropped {
  readonly path: string;
  readonly file: File;
}

/** All files of a drop, folders gone through. */
export async function droppedIn(data: DataTransfer): Promise<Dropped[]> {
  // Asked for at once: after the first wait the browser has taken the list away.
  const entries = [...data.items].flatMap((item) => item.webkitGetAsEntry() ?? []);
  const found = await Promise.all(entries.map((entry) => under(entry, entry.name)));
  return found.flat();
}

async function under(entry: FileSystemEntry, path: string): Promise<Dropped[]> {
  if (entry.isFile) {
    const file = await new Promise<File>((done, fail) =>
      (entry as FileSystemFileEntry).file(done, fail),
    );
    return [{ path, file }];
  }
  const reader = (entry as FileSystemDirectoryEntry).createReader();
  const found: Dropped[] = [];
  // A reader gives a part of a large folder at a time.
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((done, fail) =>
      reader.readEntries(done, fail),
    );
    if (some.length === 0) return found;
    for (const each of some) found.push(...(await under(each, `${path}/${each.name}`)));
  }
}

/** Files chosen by a field, whole folders among them. */
export const chosenIn = (list: FileList | null): Dropped[] =>
  [...(list ?? [])].map((file) => ({ path: file.webkitRelativePath || file.name, file }));
