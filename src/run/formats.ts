import type { Problem } from '../core/errors.ts';
import type { AnyScreenDef } from '../core/screens/contract.ts';
import { type ScreenKind, screens } from '../core/screens/index.ts';
import type { FormatDef, PlateHead, ToneStore } from '../io/formats/contract.ts';
import { type FormatKind, formats } from '../io/formats/index.ts';

export { formats };

const toneIn = (kind: FormatKind): ToneStore | undefined => (formats[kind] as FormatDef).tone;

export function toneStoreOf(kind: FormatKind): ToneStore {
  const store = toneIn(kind);
  if (!store) throw new Error(`${kind} stores no tone`);
  return store;
}

/** What the wished formats cannot hold of the plate that the screen draws. */
export function unstorable(
  screen: ScreenKind,
  kinds: readonly FormatKind[],
  tiff: PlateHead['tiff'],
): Problem[] {
  const def = screens[screen] as unknown as AnyScreenDef;
  if (def.draws !== 'tone') return [];
  const able = (Object.keys(formats) as FormatKind[]).filter((kind) => toneIn(kind));
  const unable = kinds.filter((kind) => !able.includes(kind));
  const problems: Problem[] = [];
  if (unable.length > 0)
    problems.push({
      code: 'format-without-tone',
      message: `--screen ${screen} makes 8 bits a pixel, which ${unable.join(' and ')} ${unable.length === 1 ? 'does' : 'do'} not store`,
      hint: `Give --format ${able.join(' or ')}, or another --screen.`,
    });
  if (kinds.some((kind) => toneIn(kind)?.packsAs(tiff) === false))
    problems.push({
      code: 'packing-without-tone',
      message: `--tiff ${tiff} packs one bit a pixel, but --screen ${screen} makes 8`,
      hint: 'Leave --tiff out, or choose another --screen.',
    });
  return problems;
}
