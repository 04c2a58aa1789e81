import { EtchError } from '../../core/errors.ts';

/** Classic TIFF and BMP count their bytes in 32 bits. */
export function refuseOver4GiB(format: string, bytes: number): void {
  if (bytes <= 0xffff_ffff) return;
  throw new EtchError(
    'output',
    `${format.toLowerCase()}-too-large`,
    `Writing a ${format} of ${bytes} bytes: the format ends at 4 GiB.`,
    'Write a PNG instead, or lower the resolution.',
  );
}
