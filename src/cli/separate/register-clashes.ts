import type { Problem } from '../../core/errors.ts';
import type { SeparationWay } from '../../core/separations/contract.ts';
import type { PaperSize } from '../../job/paper-sizes.ts';
import type { SeparateSettings } from '../../run/sets/settings.ts';
import type { RunSettings } from '../../run/settings.ts';

/** What is wrong with aids, map and template, as far as flags tell. */
export function registerClashes(
  { paperSize, bedTemplate, registerMap, dryRun }: SeparateSettings & RunSettings,
  paper: PaperSize | null,
  way: SeparationWay | null,
): Problem[] {
  const problems: Problem[] = [];
  const add = (code: string, message: string, hint: string): void =>
    void problems.push({ code, message, hint });
  if (paperSize !== undefined && paper === null)
    add(
      'bad-value',
      `--paper-size: "${paperSize}" is not understood`,
      'Give width and height, such as 380x560mm or 22x15in, or a name of `etchwright list papers`.',
    );
  if (bedTemplate && paperSize === undefined)
    add(
      'template-without-paper',
      '--bed-template shows where the sheet lies, and no sheet is known',
      'Give --paper-size, such as --paper-size 380x560mm.',
    );
  if (paperSize !== undefined && !bedTemplate)
    add(
      'paper-without-template',
      '--paper-size is for the template of the press bed alone, and none is asked for',
      'Give --bed-template too, or leave it out.',
    );
  if (registerMap && way?.draws === 'areas' && way.cuts)
    add(
      'map-of-pieces',
      '--register-map shows what a plate bares that lies off, and pieces are put together and printed in one go',
      'Leave it out.',
    );
  else if (registerMap && way?.draws !== 'areas')
    add(
      'map-of-tones',
      '--register-map shows where areas part, and plates of tones or of pictures of their own have none',
      'Leave it out, or divide by a method that draws areas, such as --by key.',
    );
  const files = [...(bedTemplate ? ['--bed-template'] : []), ...(registerMap ? ['--register-map'] : [])];
  if (dryRun && files.length > 0)
    add(
      'look-of-dry-run',
      `--dry-run writes no files, so ${files.join(', ')} has nowhere to go`,
      'Leave one of them out.',
    );
  return problems;
}
