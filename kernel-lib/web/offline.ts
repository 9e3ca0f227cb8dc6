import { goOn } from '../page/address';
import type { Renewal } from '../page/net/host';
import { Store } from '../page/store';
import { siteFile, siteRoot } from './site';

/** Long enough for the sheet and its kernel to have what they need first, ms. */
const afterStart = 4000;

/**
 * Whether what moves figures may be kept before anybody moves one: where the worksheets stand among the device's
 * programs, or the line is known to cost nothing by what it carries; never where the reader saves on it.
 */
function mayTakeRest(): boolean {
  const { connection } = navigator as { connection?: { saveData?: boolean; type?: string } };
  if (connection?.saveData) return false;
  const isInstalled = matchMedia('(display-mode: standalone)').matches;
  return isInstalled || /^(?:wifi|ethernet)$/.test(connection?.type ?? '');
}

/** Whether this site opens without a connection by now, and whether a newer version of it waits. */
export class Offline implements Renewal {
  readonly isKept = new Store(false);
  readonly isWaiting = new Store(false);
  private registration: ServiceWorkerRegistration | undefined;

  /** Begin to keep the site on the device, where the browser can: on https and on this very computer. */
  begin(): void {
    const { serviceWorker } = navigator;
    if (!serviceWorker || !isSecureContext || !/^https?:$/.test(siteRoot.protocol)) return;
    // What is kept already can be told at once; to fetch and keep it all can wait.
    const wait = serviceWorker.controller ? 0 : afterStart;
    setTimeout(() => void this.register(serviceWorker).catch(() => {}), wait);
  }

  private async register(container: ServiceWorkerContainer): Promise<void> {
    const registration = await container.register(siteFile('service-worker.js'), {
      scope: siteRoot.pathname,
      updateViaCache: 'none',
    });
    this.registration = registration;
    const look = () => {
      this.isKept.set(registration.active !== null);
      // Beside one that serves this page: without such a one it would take over by itself.
      this.isWaiting.set(registration.waiting !== null && registration.active !== null);
    };
    const watch = (worker: ServiceWorker | null) => worker?.addEventListener('statechange', look);
    registration.addEventListener('updatefound', () => watch(registration.installing));
    watch(registration.installing);
    watch(registration.waiting);
    look();
    const takeRest = () =>
      void container.ready.then(({ active }) => active?.postMessage('take the rest'));
    if (mayTakeRest()) setTimeout(takeRest, afterStart);
    addEventListener('appinstalled', takeRest);
  }

  change(): void {
    const { registration } = this;
    if (!registration?.waiting) return;
    const again = () => {
      goOn();
      location.reload();
    };
    navigator.serviceWorker.addEventListener('controllerchange', again, { once: true });
    registration.waiting.postMessage('take over');
  }
}
