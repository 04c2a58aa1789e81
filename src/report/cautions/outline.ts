import type { OutlineUse } from '../../core/materials/contract.ts';
import type { Making } from '../../job/making.ts';
import type { OutlineFacts } from '../outline.ts';
import type { Caution } from '../schema.ts';
import { num } from '../words.ts';
import { caution } from './index.ts';

/** Cuts wider or narrower than these want measuring; 0.15 to 0.25 mm in sheets of 1.5 to 6 mm is common practice. */
const USUAL_SHEET_MM = { from: 1.5, to: 6 } as const;

/** What cautions about the use of a line hang on. */
type LineUse = Pick<OutlineFacts, 'guideShare'> & { readonly wish: Pick<OutlineFacts['wish'], 'as'> };

function notCut({ wish, guideShare }: LineUse, { sheet }: Making): Caution[] {
  const what = sheet.id ?? 'this sheet';
  const told: Readonly<Record<OutlineUse, Caution[]>> = {
    cut: [],
    guide: [
      caution({
        code: 'outline-guide',
        severity: 'note',
        text: `On ${what} the outline is a guide: ${guideShare === null ? 'a drawing to lay over it' : 'a line engraved in the waste'}, and no cut is drawn`,
        cure: 'Cut or saw along it by hand, as the workshop’s staff say.',
      }),
    ],
    template: [
      caution({
        code: 'outline-template',
        severity: 'note',
        text: `On ${what} the outline is a template to lay the sheet by, dashed; it is no line to cut`,
        cure: 'Print it at 100 % and measure it; cut the sheet to size with shears, guillotine or saw.',
      }),
    ],
  };
  return told[wish.as];
}

function guideOff({ guideShare }: OutlineFacts): Caution[] {
  if (guideShare === null || guideShare > 0.99) return [];
  return [
    caution({
      code: 'outline-guide-off-plate',
      text: `${num(100 * (1 - guideShare), 0)} % of the guide line lies beyond the plate and is not engraved`,
      value: Number((100 * (1 - guideShare)).toFixed(1)),
      unit: '%',
      cure: 'Leave waste around the piece: --outline-inset, or a larger plate with --border.',
    }),
  ];
}

function kerf({ wish }: LineUse, { machine, origins, sheet }: Making): Caution[] {
  if (wish.as !== 'cut') return [];
  const { thicknessMm } = sheet;
  const odd =
    thicknessMm !== null && (thicknessMm < USUAL_SHEET_MM.from || thicknessMm > USUAL_SHEET_MM.to)
      ? `, and the sheet is ${num(thicknessMm, 2)} mm thick`
      : '';
  const guessed = origins['kerfMm'] === 'default';
  return [
    ...(guessed
      ? [
          caution({
            code: 'outline-kerf',
            severity: 'note',
            text: `The kerf of ${num(machine.kerfMm, 3)} mm is from memory${odd}; 0.15 to 0.25 mm is common practice in sheets of 1.5 to 6 mm`,
            value: machine.kerfMm,
            unit: 'mm',
            cure: 'Cut a square of known size on an offcut, measure it, and give the difference with --kerf or in the workshop file.',
          }),
        ]
      : []),
    caution({
      code: 'outline-ask',
      severity: 'note',
      text: 'A line to be cut is drawn; whether this sheet is cut on this machine is for the workshop’s staff to say',
      cure: 'Ask them. Engrave first and cut last, so that nothing moves; stay beside it for the whole run.',
    }),
  ];
}

function beyond({ beyondMm, wish }: OutlineFacts): Caution[] {
  if (beyondMm <= wish.toleranceMm) return [];
  return [
    caution({
      code: 'outline-leaves-plate',
      text: `The piece reaches ${num(beyondMm, 2)} mm beyond the plate`,
      value: Number(beyondMm.toFixed(3)),
      limit: 0,
      unit: 'mm',
      cure: 'Give a narrower --outline-rim, or a wider --border.',
    }),
  ];
}

function near({ near: found }: OutlineFacts): Caution[] {
  if (found === null || found.areaMm2 <= 0) return [];
  return [
    caution({
      code: 'outline-near-marks',
      text: `${num(found.areaMm2, 1)} mm² that prints lies within ${num(found.clearMm, 2)} mm of the outline (kerf, bevel and 1 mm, from memory), where edges break off or are bevelled away`,
      value: Number(found.areaMm2.toFixed(2)),
      limit: found.clearMm,
      unit: 'mm²',
      cure: 'Leave more room around the picture (--border, or --outline-rim for a shape), or accept that it is lost.',
    }),
  ];
}

function shapeCautions({ wish, outline, traced }: OutlineFacts, { sheet }: Making): Caution[] {
  const found: Caution[] = [];
  const note = (code: string, text: string, cure: string): void =>
    void found.push(caution({ code, severity: 'note', text, cure }));
  if (wish.mending && sheet.thicknessMm !== null && wish.mending.minBridgeMm < sheet.thicknessMm)
    found.push(
      caution({
        code: 'outline-thin-bridge',
        text: `Necks of ${num(wish.mending.minBridgeMm, 2)} mm are narrower than the sheet is thick (${num(sheet.thicknessMm, 2)} mm) and break easily`,
        value: wish.mending.minBridgeMm,
        limit: sheet.thicknessMm,
        unit: 'mm',
        cure: `Give --min-bridge ${num(sheet.thicknessMm, 2)}mm.`,
      }),
    );
  if (outline.pieces > 1)
    found.push(
      caution({
        code: 'outline-pieces',
        text: `The outline falls into ${outline.pieces} pieces`,
        value: outline.pieces,
        limit: 1,
        cure: 'Join them in the picture or mask, or with a wider --outline-rim; else mark which is which.',
      }),
    );
  if (outline.widened > 0)
    note(
      'outline-widened',
      `${outline.widened} ${outline.widened === 1 ? 'neck was' : 'necks were'} made wider than drawn, so that the piece holds together`,
      'Look at the outline over the plate.',
    );
  if (outline.lostPieces + outline.lostHoles > 0)
    note(
      'outline-lost',
      `${outline.lostPieces} small pieces and ${outline.lostHoles} holes of the shape are not in the outline: too small for the smallest radius, or closed by the rim`,
      'Give a smaller --min-radius or --outline-rim if they matter.',
    );
  if (wish.as === 'cut' && outline.holes > 0)
    note(
      'outline-holes',
      `${outline.holes} ${outline.holes === 1 ? 'hole drops' : 'holes drop'} out when cut`,
      'Cut holes before the outer line, and keep what drops out from lying under the beam.',
    );
  if (traced?.isCoarse)
    note(
      'outline-coarse',
      `The shape was traced in steps of ${num(traced.stepMm, 3)} mm, so the line is no truer than that`,
      'Give a larger picture or mask.',
    );
  return found;
}

/** What the use of a line gives rise to, whatever it runs around. */
export const lineCautions = (use: LineUse, making: Making): Caution[] => [
  ...notCut(use, making),
  ...kerf(use, making),
];

/** What an outline gives rise to, in a fixed order. */
export const outlineCautions = (facts: OutlineFacts, making: Making): Caution[] => [
  ...notCut(facts, making),
  ...guideOff(facts),
  ...kerf(facts, making),
  ...beyond(facts),
  ...near(facts),
  ...shapeCautions(facts, making),
];
