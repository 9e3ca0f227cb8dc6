import { useState } from 'preact/hooks';
import type { ListedSheet } from '../../travels/listed-sheet';
import { goTo } from '../net/address';
import { call } from '../net/call';
import { rememberFresh } from '../sheet/fresh';
import { standingWords, statesOf } from '../sheet/standing-words';
import { beginAnew } from './begin-anew';
import { SheetFilm } from './sheet-film';

/** One worksheet of the list: its film, how far it is, and the way in. */
export function SheetEntry({ sheet, ready }: { sheet: ListedSheet; ready: boolean }) {
  const [fault, setFault] = useState('');
  const [opening, setOpening] = useState(false);
  const number = Number.parseInt(sheet.name, 10);
  const open = async () => {
    setOpening(true);
    try {
      const { path, fresh } = await call<{ path: string; fresh?: string }>(
        'POST',
        `/desk/sheets/${encodeURIComponent(sheet.name)}/open`,
      );
      if (fresh) rememberFresh(path, fresh);
      goTo(`/sheet/${encodeURIComponent(path)}`);
    } catch (error) {
      setFault((error as Error).message);
      setOpening(false);
    }
  };
  return (
    <li>
      <span class="number" aria-hidden="true">
        {Number.isFinite(number) ? number : '–'}
      </span>
      <div>
        <h2>{sheet.title}</h2>
        <SheetFilm name={sheet.name} />
        {sheet.opened && !sheet.problem && (
          <span class="tally" aria-hidden="true">
            {statesOf(sheet).map((state, at) => (
              <span key={at} data-state={state} />
            ))}
          </span>
        )}
        {!sheet.problem && <p class="standing">{standingWords(sheet)}</p>}
        {(sheet.problem || fault) && (
          <p class="notice" role={fault ? 'alert' : undefined}>
            {sheet.problem ?? fault} {sheet.opened && sheet.problem && beginAnew}
          </p>
        )}
      </div>
      <button
        type="button"
        class="main"
        disabled={!ready || opening || sheet.problem !== undefined}
        aria-label={`${sheet.opened ? 'Go on with' : 'Begin'} ${sheet.title}`}
        onClick={open}
      >
        {sheet.opened ? 'Go on' : 'Begin'}
      </button>
    </li>
  );
}
