import { type Bitmap, createBitmap } from '../../core/bitmap.ts';
import { EtchError } from '../../core/errors.ts';
import type { Picture } from '../../io/read/decode.ts';
import type { PictureFacts } from '../../io/read/facts.ts';
import { openRows } from '../../io/rows.ts';
import { caution } from '../../report/cautions/index.ts';
import type { Caution } from '../../report/schema.ts';

/** A finished plate read from a picture file. */
export interface Packed {
  readonly bitmap: Bitmap;
  /** Pixels that are neither black nor white. */
  readonly greyPx: number;
}

/** A finished plate's etch bits, 1 = fires; a grey counts by its nearer end. */
export function pack(picture: Picture, fire: 'dark' | 'light'): Packed {
  const rows = openRows(picture.scratch, picture.facts.orientation);
  const { widthPx, heightPx } = rows;
  const bitmap = createBitmap(widthPx, heightPx, true);
  const codes = rows.newRow();
  const most = picture.scratch.bytesPerSample === 1 ? 255 : 65535;
  const half = most / 2;
  const turned = fire === 'light' ? 1 : 0;
  let greyPx = 0;
  for (let y = 0; y < heightPx; y++) {
    rows.read(y, codes);
    const at = y * bitmap.strideBytes;
    let byte = 0;
    for (let x = 0; x < widthPx; x++) {
      const code = codes[x]!;
      if (code !== 0 && code !== most) greyPx++;
      byte = (byte << 1) | ((code < half ? 1 : 0) ^ turned);
      if ((x & 7) === 7) bitmap.data[at + (x >> 3)] = byte;
    }
    if (widthPx & 7) bitmap.data[at + (widthPx >> 3)] = (byte << (8 - (widthPx & 7))) & 0xff;
  }
  return { bitmap, greyPx };
}

/** Files that count pixels to the metre miss whole resolutions by a hair. */
function wholeDpi(statedDpi: number): number {
  const whole = Math.round(statedDpi);
  return Math.abs(statedDpi / whole - 1) < 2e-4 ? whole : statedDpi;
}

const isOther = (stated: number | null, asked: number): stated is number =>
  stated !== null && Math.abs(stated / asked - 1) > 0.001;

/** Refuses a resolution that is not the one a file states: what is laid beside others would come out at another size. */
export function refuseOtherDpi(
  { ppiX, name }: Pick<PictureFacts, 'ppiX' | 'name'>,
  asked: number | null,
): void {
  if (ppiX === null || asked === null || !isOther(ppiX, asked)) return;
  throw new EtchError(
    'usage',
    'other-dpi',
    `Ganging ${name}: the file states ${Number(ppiX.toFixed(2))} dpi, and --dpi says ${asked}`,
    'Leave --dpi out: it is for files that state none. A file that states a wrong one wants to be made again.',
  );
}

/** The one resolution of a plate file, and what is to be said of it. Throws EtchError where it states none or two. */
export function dpiOf(
  facts: Pick<PictureFacts, 'ppiX' | 'ppiY' | 'name'>,
  asked: number | null,
  doing = 'Checking',
): { dpi: number; cautions: Caution[] } {
  const { ppiX, ppiY, name } = facts;
  if (asked !== null) {
    return {
      dpi: asked,
      cautions: isOther(ppiX, asked)
        ? [
            caution({
              code: 'other-dpi',
              text: `The file states ${Number(ppiX.toFixed(2))} dpi, but was checked as ${asked}`,
              value: ppiX,
              limit: asked,
              unit: 'dpi',
              cure: 'The machine may go by what the file states: make it again at the right --dpi.',
            }),
          ]
        : [],
    };
  }
  if (ppiX === null || ppiY === null)
    throw new EtchError(
      'usage',
      'no-dpi',
      `${doing} ${name}: the file does not state its resolution`,
      'Say which the machine will be set to, such as --dpi 500. Better: make the file again, so that it says so itself.',
    );
  if (Math.abs(ppiX / ppiY - 1) > 0.001)
    throw new EtchError(
      'usage',
      'unequal-dpi',
      `${doing} ${name}: the file states ${ppiX} dpi across and ${ppiY} down`,
      'A plate has one pitch: say which with --dpi.',
    );
  return { dpi: wholeDpi(ppiX), cautions: [] };
}
