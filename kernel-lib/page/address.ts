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

let walked = false;

/** Whether what is shown was come to within the page, and not by loading it. */
export const isWalkedTo = (): boolean => walked;

/** Show something else without fetching the page again. */
export function goTo(place: string): void {
  walked = true;
  history.pushState(null, '', hrefOf(place));
  address.set(place);
  scrollTo(0, 0);
}

/** Set while the page itself goes on to another of its places, or is loaded anew by its own wish. */
let goingOn = false;

export const isGoingOn = (): boolean => goingOn;

/** Longest from a click on a link until the browser asks whether the page may be left, ms. */
const untilLeft = 1000;

export function goOn(): void {
  goingOn = true;
  setTimeout(() => {
    goingOn = false;
  }, untilLeft);
}

/** The link that was clicked, when it leads to another place of this page in this tab. */
function ownLink(event: MouseEvent): HTMLAnchorElement | undefined {
  const link = event.target instanceof Element ? event.target.closest('a') : null;
  const isPlain = event.button === 0 && !event.ctrlKey && !event.metaKey && !event.shiftKey;
  if (!link || !isPlain || link.target === '_blank' || link.hasAttribute('download'))
    return undefined;
  const here = new URL(location.href);
  const there = new URL(link.href);
  const isOwn = there.origin === here.origin && (!isOneFile || there.pathname === here.pathname);
  return isOwn ? link : undefined;
}

let isOneVisit = false;

/** From now on the page is never loaded anew by itself: what only it holds would be lost. */
export function stayInThisPage(): void {
  isOneVisit = true;
}

addEventListener('click', (event) => {
  const link = event.defaultPrevented ? undefined : ownLink(event);
  if (!link) return;
  const { search } = new URL(link.href);
  if (!isOneVisit || search === location.search) goOn();
  else {
    event.preventDefault();
    goTo(search.slice(1) || '/');
  }
});

// Back and forth start afresh. Links within a sheet come by here too, but leave the place as it is.
addEventListener('popstate', () => {
  if (inLine() === address.value) return;
  if (isOneVisit) address.set(inLine());
  else {
    goOn();
    location.reload();
  }
});
