import type { ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';

/** A part of the page that is fetched only when it is wanted. */
export function Later<Props extends object>({
  load,
  props,
}: {
  load: () => Promise<ComponentType<Props>>;
  props: Props;
}) {
  const [Part, setPart] = useState<{ view: ComponentType<Props> }>();
  const [fault, setFault] = useState('');
  useEffect(() => {
    load().then(
      (view) => setPart({ view }),
      () =>
        setFault(
          'This part of the page could not be fetched: reload the page. If that fails, start the worksheets again.',
        ),
    );
  }, [load]);
  if (Part) return <Part.view {...props} />;
  return fault ? (
    <p class="notice" role="alert">
      {fault}
    </p>
  ) : null;
}
