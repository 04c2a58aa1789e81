import { inputError, type PictureInput } from '../input.ts';
import { loadDecoder } from '../library/decoder.ts';

const dataPicture = /data:image\/[\w.+-]{1,40}(?:;[\w.=-]{1,40}){0,4};base64,([A-Za-z0-9+/=\s]+)/g;
const mostPictures = 1000;

/**
 * Refuses a drawing whose embedded pictures have more pixels together than the limit: the drawing library
 * would decode each of them whole. What cannot be read is left to it.
 */
export async function checkEmbedded(input: PictureInput, text: string, maxPixels: number): Promise<void> {
  let pixels = 0;
  let count = 0;
  for (const [, data] of text.matchAll(dataPicture)) {
    const decoder = await loadDecoder();
    const header = await decoder
      .open(Buffer.from(data!, 'base64'), { limitInputPixels: false })
      .metadata()
      .catch(() => null);
    pixels += header ? header.width * header.height : 0;
    count++;
    if (pixels > maxPixels || count > mostPictures) {
      throw inputError(
        input,
        'picture-too-large',
        `the pictures embedded in the drawing have more than ${maxPixels.toLocaleString('en-GB')} pixels together, the limit`,
        'Embed smaller pictures, or raise the limit with --max-pixels.',
      );
    }
  }
}
