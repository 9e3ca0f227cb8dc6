import { Store } from './store';

/** A desk has a path for everything it shows; a site of plain files has one page, and says the rest behind a `?`. */
const isOneFile = document.documentElement.hasAttribute('data-one-file');

/** What the browser's address line says is to be shown: `/`, `/bench`, `/help`, `/sheet/NAME`. */
function inLine(): string {
  if (!isOneFile) return location.pathname;
  return location.search.startsWith('?/') ? location.search.slice(1) : '/';
}

/** The address of what is to be shown, for links. */
export const hrefOf = (place: string): string => (isOneFile ? `?${place}` : place);

/** The same in full, to be sent on. */
export const pageAddress = (place: string): string => new URL(hrefOf(place), location.href).href;

/** What the page shows. */
export const address = new Store(inLine());

/** Show something else without fetching the page again. */
export function goTo(place: string): void {
  history.pushState(null, '', hrefOf(place));
  address.set(place);
  scrollTo(0, 0);
}

// Back and forth start afresh. Links within a sheet come by here too, but leave the place as it is.
addEventListener('popstate', () => {
  if (inLine() !== address.value) location.reload();
});
