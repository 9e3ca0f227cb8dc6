import { Store } from './store';

/** What the page shows, as in the browser's address line. */
export const address = new Store(location.pathname);

/** Show something else without fetching the page again. */
export function goTo(path: string): void {
  history.pushState(null, '', path);
  address.set(path);
  scrollTo(0, 0);
}

// Back and forth start afresh. Links within a sheet come by here too, but leave the path as it is.
addEventListener('popstate', () => {
  if (location.pathname !== address.value) location.reload();
});
