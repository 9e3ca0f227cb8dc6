const keyOf = (path: string) => `multislit.fresh:${path}`;

/** Note that the desk has just made this copy, so that its givens may come out by itself when it opens. */
export function rememberFresh(path: string, version: string): void {
  sessionStorage.setItem(keyOf(path), version);
}

/** True once, and only for the very content that the desk made: a file from elsewhere never runs by itself. */
export function takeFresh(path: string, version: string): boolean {
  const noted = sessionStorage.getItem(keyOf(path));
  sessionStorage.removeItem(keyOf(path));
  return noted === version;
}
