import { useState } from 'preact/hooks';
import { Enlarged } from './enlarged';

/** A picture in the sheet; a click, or Enter on it, shows it large. */
export function Picture({ picture, alt }: { picture: string; alt: string }) {
  const [large, setLarge] = useState(false);
  return (
    <figure class="picture">
      <button
        type="button"
        class="enlarge"
        aria-label={`Show large: ${alt}`}
        onClick={() => setLarge(true)}
      >
        <img src={picture} alt={alt} />
      </button>
      {large && <Enlarged picture={picture} alt={alt} onClose={() => setLarge(false)} />}
    </figure>
  );
}
