import type { PictureCaution } from './facts.ts';
import type { Ppi } from './headers/resolution.ts';

export const manyFrames = (frames: number, frame: number): PictureCaution => ({
  code: 'picture-frames',
  severity: 'note',
  text: `The file holds ${frames} pages or frames; number ${frame} is used.`,
  cure: 'Choose another with --page, if the file has pages.',
  value: frames,
});

const rounded = (value: number): string => String(Math.round(value * 10) / 10);

export const unequalResolution = ({ x, y }: Ppi): PictureCaution => ({
  code: 'picture-resolution-unequal',
  severity: 'note',
  text: `The file states ${rounded(x)} pixels an inch across and ${rounded(y)} down; its size follows both.`,
  cure: 'Give --width and --height if the picture comes out stretched.',
});

export const profileNotUsed = (why: string): PictureCaution => ({
  code: 'picture-profile-unused',
  severity: 'warn',
  text: `The embedded colour profile is not used: ${why}.`,
  cure: 'Export the picture again with a fresh sRGB or grey profile.',
});

export const cmykWithoutProfile: PictureCaution = {
  code: 'picture-cmyk-no-profile',
  severity: 'note',
  text: 'The picture is CMYK without a profile; its tones come from a general one.',
  cure: 'Export it as grey or RGB for exact tones.',
};

export const extraChannel: PictureCaution = {
  code: 'picture-extra-channel',
  severity: 'note',
  text: 'The file has an extra channel that is not declared as transparency; it is left out.',
  cure: 'If it is a mask, apply it and export again.',
};
