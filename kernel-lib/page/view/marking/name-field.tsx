import { useState } from 'preact/hooks';

/** What a person calls himself or herself here; kept in this browser, also for whoever reads. */
const nameKey = 'multislit-reader';
export function storedName(): string {
  try {
    return localStorage.getItem(nameKey) ?? '';
  } catch {
    return '';
  }
}
function storeName(name: string): void {
  try {
    localStorage.setItem(nameKey, name);
  } catch {
    // It is only a convenience.
  }
}

/** The one field for the name: it holds once it is left or Enter is pressed, for nothing is read under half a name. */
export function NameField({ name, onName }: { name: string; onName: (name: string) => void }) {
  const [typed, setTyped] = useState(name);
  return (
    <label class="by">
      your name, for history and readings{' '}
      <input
        autoComplete="off"
        maxLength={80}
        value={typed}
        onInput={(event) => setTyped(event.currentTarget.value)}
        onChange={(event) => {
          const whole = event.currentTarget.value.replace(/\s+/g, ' ').trim();
          setTyped(whole);
          storeName(whole);
          onName(whole);
        }}
      />
    </label>
  );
}
