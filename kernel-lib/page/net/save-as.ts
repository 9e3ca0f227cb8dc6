/** How long a browser may take to fetch what it is given to save, ms. */
const longEnough = 60_000;

/** Let the browser save a text as a file, where it keeps its downloads. */
export function saveAs(name: string, text: string): void {
  const address = URL.createObjectURL(new Blob([text], { type: 'application/x-ipynb+json' }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), longEnough);
}
