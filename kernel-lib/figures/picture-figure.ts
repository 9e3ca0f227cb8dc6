import { base64 } from '../display/base64';
import { asBundle, type MimeBundle, type Showable } from '../display/bundle';
import { bytesOf } from '../fitting/file-beside';
import { withoutMetadata } from '../fitting/picture/private-picture';
import { pictureHtml } from './figure';
import { pngAddress } from './png/encode-png';
import { element } from './svg/element';

/** Small pictures are shown this wide, pixels. */
const shownWidth = 960;

/**
 * A photograph to be looked at: a PNG or JPEG file, its pixels as they are, without what the camera wrote beside them
 * (place, date, device: `withoutMetadata`), for figures stay in notebooks that are handed in. A PNG of fewer pixels than a column is wide is shown
 * enlarged, each pixel as a square.
 *
 * @param picture the name of a file beside the notebook, such as `my.jpg`, or its bytes
 * @param alt the text alternative: one sentence that says what the picture shows
 * @returns something that `show` shows
 * @throws RangeError when the file is neither PNG nor JPEG; TypeError without a text alternative
 * @example
 * const file = encodePicture({ width: 1, height: 1, channels: 1, data: Uint8Array.of(255) });
 * pictureFigure(file, 'One white pixel.')[asBundle]()['text/plain'] // 'One white pixel.'
 */
export function pictureFigure(picture: Uint8Array | string, alt: string): Showable {
  if (typeof alt !== 'string' || alt.trim() === '') {
    throw new TypeError(
      'A picture needs a text alternative: one sentence that says what it shows, for those who cannot see it.',
    );
  }
  const file = bytesOf(picture);
  const begins = (...bytes: number[]) => bytes.every((byte, i) => file?.[i] === byte);
  const shown = (form: () => MimeBundle): Showable => ({
    [asBundle]: () => ({ ...form(), 'text/plain': alt }),
  });
  if (begins(0xff, 0xd8)) {
    const bare = withoutMetadata(file);
    return shown(() => ({ 'image/jpeg': base64(bare) }));
  }
  if (!begins(0x89, 0x50, 0x4e, 0x47) || file.length < 24) {
    throw new RangeError(
      'This file is neither a PNG nor a JPEG picture. Save the photograph as one of them and give the bytes of that file.',
    );
  }
  const bare = withoutMetadata(file);
  const view = new DataView(bare.buffer, bare.byteOffset, bare.byteLength);
  const [width, height] = [view.getUint32(16), view.getUint32(20)];
  if (width >= shownWidth) return shown(() => ({ 'image/png': base64(bare) }));
  return shown(() => {
    const svg = enlarged(bare, width, height, alt);
    return { 'text/html': pictureHtml(svg, alt), 'image/svg+xml': svg };
  });
}

/** The picture inside an SVG of the shown width. */
function enlarged(png: Uint8Array, width: number, height: number, alt: string): string {
  const size = { width: shownWidth, height: (height * shownWidth) / width };
  const image = element('image', {
    ...size,
    href: pngAddress(png),
    style: 'image-rendering:pixelated',
  });
  return element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: `0 0 ${size.width} ${size.height}`,
      ...size,
      style: 'max-width:100%;height:auto',
      role: 'img',
      'aria-label': alt,
    },
    image,
  );
}
