import { useState } from 'preact/hooks';
import { call } from '../net/call';

/** Asks for the student number once; afterwards shows it, with a way to change it. */
export function StudentForm({ student, onSaved }: { student: string | null; onSaved: () => void }) {
  const [editing, setEditing] = useState(false);
  const [typed, setTyped] = useState(student ?? '');
  const [fault, setFault] = useState('');
  if (student !== null && !editing)
    return (
      <p class="student">
        Student number <b>{student}</b>{' '}
        <button type="button" class="quiet" onClick={() => setEditing(true)}>
          Change
        </button>
      </p>
    );
  const save = async (event: Event) => {
    event.preventDefault();
    try {
      await call('PUT', '/desk/student', { student: typed });
      setFault('');
      setEditing(false);
      onSaved();
    } catch (error) {
      setFault((error as Error).message);
    }
  };
  return (
    <form class="student" onSubmit={save} noValidate>
      <label for="student">Your student number</label>
      <div class="row">
        <input
          id="student"
          inputMode="numeric"
          autoComplete="off"
          value={typed}
          aria-invalid={fault !== ''}
          aria-describedby="student-why"
          onInput={(event) => setTyped(event.currentTarget.value)}
        />
        <button type="submit" class="main">
          Keep it
        </button>
      </div>
      <p id="student-why" role={fault ? 'alert' : undefined} class={fault ? 'fault' : 'under'}>
        {fault ||
          'Asked for once, before you begin: your own slit widths, wavelengths and readings are drawn from it.'}
      </p>
    </form>
  );
}
