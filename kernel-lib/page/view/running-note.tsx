import { useEffect, useState } from 'preact/hooks';

/** So long a cell may run before more is said of it, s. */
const patience = 10;

function useSeconds(): number {
  const [seconds, setSeconds] = useState(0);
  useEffect(() => {
    const began = Date.now();
    const every = setInterval(() => setSeconds(Math.floor((Date.now() - began) / 1000)), 1000);
    return () => clearInterval(every);
  }, []);
  return seconds;
}

/** That a cell runs; after a while for how long. */
export function RunningNote() {
  const seconds = useSeconds();
  return (
    <span class="note">
      {seconds < patience ? 'running …' : `running for ${timeSaid(seconds)}`}
    </span>
  );
}

/** What Stop does and keeps, once a cell has run for a while. */
export function StopKeeps() {
  const isLong = useSeconds() >= patience;
  return (
    <p class="stop-keeps" role="status">
      {isLong &&
        'Stop ends this cell alone: your text, what it has shown so far and the values of the cells before it are kept.'}
    </p>
  );
}

function timeSaid(seconds: number): string {
  const minutes = Math.floor(seconds / 60);
  return minutes === 0 ? `${seconds} s` : `${minutes} min ${seconds % 60} s`;
}
