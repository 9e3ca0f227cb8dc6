import { useEffect, useRef } from 'preact/hooks';

interface Props {
  picture: string;
  alt: string;
  onClose: () => void;
}

/** A picture as large as the window lets it be; Escape or the button put it back. */
export function Enlarged({ picture, alt, onClose }: Props) {
  const box = useRef<HTMLDialogElement>(null);
  useEffect(() => box.current?.showModal(), []);
  return (
    <dialog ref={box} class="enlarged" aria-label={alt} onClose={onClose}>
      <button type="button" onClick={() => box.current?.close()}>
        Back to the sheet
      </button>
      <img src={picture} alt={alt} />
    </dialog>
  );
}
