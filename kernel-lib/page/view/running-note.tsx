import { useEffect, useState } from 'preact/hooks';

/** So long a cell may run before more is said of it, ms. */
const patience = 10_000;

/** That a cell runs; after a while for how long, and what Stop does and keeps. */
export function RunningNote() {
  const [seconds, setSeconds] = useState(0);
  useEffect(() => {
    const began = Date.now();
    const every = setInterval(() => setSeconds(Math.floor((Date.now() - began) / 1000)), 1000);
    return () => clearInterval(every);
  }, []);
  const isLong = seconds * 1000 >= patience;
  return (
    <>
      <span class="note">{isLong ? `running for ${timeSaid(seconds)}` : 'running …'}</span>
      {isLong && (
        <span class="note long" role="status">
          Stop ends this cell alone: your text, what it has shown so far and the values of the cells
          before it are kept.
        </span>
      )}
    </>
  );
}

function timeSaid(seconds: number): string {
  const minutes = Math.floor(seconds / 60);
  return minutes === 0 ? `${seconds} s` : `${minutes} min ${seconds % 60} s`;
}
