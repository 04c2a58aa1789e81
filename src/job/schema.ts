import * as z from 'zod';
import { OUTLINE_USES } from '../core/materials/contract.ts';
import { outlines } from '../core/outlines/index.ts';
import { processes } from '../core/processes/index.ts';
import { type ScreenKind, screens } from '../core/screens/index.ts';
import { MOST_PASSES } from '../core/time/passes.ts';
import { outlineSettings } from './outline-settings.ts';
import { screenSettings } from './screen-settings.ts';

/** Keys of a registry as an enum that keeps their names. */
const kindsOf = <Registry extends Record<string, unknown>>(registry: Registry) =>
  z.enum(Object.keys(registry) as [Extract<keyof Registry, string>, ...Extract<keyof Registry, string>[]]);

type Group = 'picture and size' | 'reading' | 'tone' | 'screen' | 'outline' | 'making' | 'output';

/** What shared code needs to know of a setting besides its type: where it stands in the help, and its unit. */
export interface SettingMeta {
  readonly group: Group;
  readonly unit?: 'mm' | 'percent' | 'degrees' | 'minutes' | 'dpi' | 'lpi';
  /** True for what decides the plate's bits; only these stand in a report's `job`. */
  readonly bits: boolean;
}

const meta = (group: Group, bits: boolean, unit?: SettingMeta['unit']): Record<string, unknown> => ({
  group,
  bits,
  ...(unit ? { unit } : {}),
});

const lengthMm = (least: number, most: number) => z.number().min(least).max(most);
const percent = () => z.number().min(0).max(100);
/** Damp papers give 0.2 to 3 % (from memory); what is beyond ten is a slip of the pen. */
const shrinks = () => z.number().min(0).max(10);

/** What an outline is drawn with unless something else is given; a tenth of a millimetre is half a kerf. */
export const OUTLINE_TOLERANCE_MM = 0.1;
export const OUTLINE_COLOUR = 'black';

/**
 * Every setting of a job: type, range, unit, description and default stand here and nowhere else. Flags, help,
 * job files, the JSON Schema and the README's table are derived. The unit at the end of a name is the unit
 * of a bare number; the flag is the name without it.
 */
const settings = z.strictObject({
  process: kindsOf(processes)
    .describe('what is made: a block that prints what is kept, or a plate that prints what is etched')
    .meta(meta('picture and size', true))
    .optional(),
  widthMm: lengthMm(1, 5000)
    .describe('width of the plate; one side alone keeps the proportion')
    .meta(meta('picture and size', true, 'mm'))
    .optional(),
  heightMm: lengthMm(1, 5000)
    .describe('height of the plate')
    .meta(meta('picture and size', true, 'mm'))
    .optional(),
  dpi: z
    .number()
    .min(50)
    .max(10000)
    .describe('plate resolution, the lines per inch the machine is set to')
    .meta(meta('picture and size', true, 'dpi'))
    .default(500),
  fit: z
    .enum(['contain', 'cover', 'fill'])
    .describe('how the picture meets the plate: whole, filling it by cropping, or stretched')
    .meta(meta('picture and size', true))
    .default('contain'),
  borderMm: lengthMm(0, 500)
    .describe('unprinted border inside the plate')
    .meta(meta('picture and size', true, 'mm'))
    .default(0),
  stretchXPercent: shrinks()
    .describe('how much a print shrinks across as its damp paper dries; the plate is made so much wider')
    .meta(meta('picture and size', true, 'percent'))
    .default(0),
  stretchYPercent: shrinks()
    .describe('likewise from head to foot; two verniers on a proof tell both')
    .meta(meta('picture and size', true, 'percent'))
    .default(0),
  controlStrip: z
    .boolean()
    .describe('draw the control strip of the test plate, and marks to find it by, into the border')
    .meta(meta('picture and size', true))
    .default(false),
  rotateDeg: z
    .literal([0, 90, 180, 270])
    .describe('turn the upright picture clockwise')
    .meta(meta('picture and size', true, 'degrees'))
    .default(0),
  etch: z
    .enum(['dark', 'light'])
    .describe(
      'which side of the picture is etched (for a negative use --source); the process decides unless given',
    )
    .meta(meta('picture and size', true))
    .optional(),
  facing: z
    .enum(['plate', 'print'])
    .describe(
      'how the file reads: as the plate carries it (mirrored) or as the print shows it; the process decides unless given',
    )
    .meta(meta('picture and size', true))
    .optional(),
  page: z
    .int()
    .min(1)
    .max(100000)
    .describe('page or frame of a picture that has several, from 1')
    .meta(meta('reading', true))
    .default(1),
  maxPixels: z
    .int()
    .min(1)
    .max(1e10)
    .describe('largest picture that is opened, in pixels')
    .meta(meta('reading', false))
    .default(400_000_000),
  source: z
    .enum(['positive', 'negative'])
    .describe(
      'whether dark in the picture is dark in the print; negative turns its tones first, whatever --etch says',
    )
    .meta(meta('reading', true))
    .default('positive'),
  whitepointPercent: percent()
    .describe('lightness of the picture (100 is white) from which the paper stays bare')
    .meta(meta('tone', true, 'percent'))
    .default(100),
  blackpointPercent: percent()
    .describe('lightness of the picture (0 is black) down from which the ink is full')
    .meta(meta('tone', true, 'percent'))
    .default(0),
  gamma: z
    .number()
    .min(0.1)
    .max(10)
    .describe('above 1 lightens the middle tones, below 1 darkens them')
    .meta(meta('tone', true))
    .default(1),
  capPercent: percent()
    .describe('darkest tone on the plate, so that black stays stippled; the process decides unless given')
    .meta(meta('tone', true, 'percent'))
    .optional(),
  floorPercent: percent()
    .describe('lightest tone on the plate; bare paper stays bare')
    .meta(meta('tone', true, 'percent'))
    .default(0),
  descreen: z
    .union([z.enum(['off', 'auto']), z.number().min(10).max(600)])
    .describe('take the dots out of a picture that was printed, at the ruling found or given')
    .meta(meta('tone', true, 'lpi'))
    .default('off'),
  screen: kindsOf(screens)
    .describe('how tone becomes marks')
    .meta({ ...meta('screen', true), unlessGiven: 'process, picture and spot decide' })
    .optional(),
  outline: kindsOf(outlines)
    .describe('write the line that the finished piece is cut along, as SVG and PDF')
    .meta({ ...meta('outline', true), unlessGiven: 'none' })
    .optional(),
  outlineAs: z
    .enum(OUTLINE_USES)
    .describe(
      'what the line is for: a cut, a guide engraved in the waste for cutting by hand, or a template to lay the sheet by; never less careful than the sheet',
    )
    .meta({ ...meta('outline', true), unlessGiven: 'the sheet decides' })
    .optional(),
  outlineToleranceMm: lengthMm(0.005, 2)
    .describe('furthest that the line may lie from the true one')
    .meta({ ...meta('outline', true, 'mm'), unlessGiven: String(OUTLINE_TOLERANCE_MM) })
    .optional(),
  outlineColour: z
    .string()
    .describe('colour of the line: #rrggbb, #rgb or a basic word')
    .meta({ ...meta('outline', false), names: 'colour', unlessGiven: OUTLINE_COLOUR })
    .optional(),
  material: z
    .string()
    .min(1)
    .max(200)
    .describe('what is engraved, such as lino or acrylic')
    .meta({ ...meta('making', false), names: 'kind' })
    .optional(),
  materialConfirmed: z
    .string()
    .min(3)
    .max(200)
    .describe('who in the workshop confirmed the sheet, and when; for kinds that must be asked about')
    .meta({ ...meta('making', false), names: 'who, when', onlyWith: ['material'] })
    .optional(),
  permission: z
    .string()
    .min(1)
    .max(300)
    .describe('source of the picture, and whose permission there is')
    .meta({ ...meta('making', false), names: 'words' })
    .optional(),
  machine: z
    .string()
    .min(1)
    .max(100)
    .describe('machine of the workshop; its first unless given')
    .meta({ ...meta('making', false), names: 'name' })
    .optional(),
  press: z
    .string()
    .min(1)
    .max(100)
    .describe('press of the workshop; its first unless given')
    .meta({ ...meta('making', false), names: 'name' })
    .optional(),
  depthMm: lengthMm(0.001, 50)
    .describe('depth wanted, for the number of passes')
    .meta(meta('making', false, 'mm'))
    .optional(),
  passes: z
    .int()
    .min(1)
    .max(MOST_PASSES)
    .describe('number of passes, if you know it')
    .meta(meta('making', false))
    .optional(),
  clearing: z
    .boolean()
    .describe(
      'relief: coarser plates of their own for the ground that is wide and must lie deep, instead of passes of the whole plate',
    )
    .meta(meta('making', false))
    .default(false),
  clearInsetMm: lengthMm(0, 2)
    .describe('how much further from the walls each clearing pass stays, so that shoulders slope')
    .meta({ ...meta('making', false, 'mm'), onlyWith: ['clearing'] })
    .default(0.15),
  clearPassMm: lengthMm(0.0001, 20)
    .describe('depth that one clearing pass gives, measured')
    .meta({
      ...meta('making', false, 'mm'),
      unlessGiven: 'as deep as a pass of the plate',
      onlyWith: ['clearing'],
    })
    .optional(),
  spotMm: lengthMm(0.005, 2)
    .describe('width of the mark of one firing, measured; the workshop’s unless given')
    .meta(meta('making', true, 'mm'))
    .optional(),
  beam: z
    .enum(['pulse', 'sweep'])
    .describe('whether the beam fires once a pixel, or stays on over it; the workshop’s unless given')
    .meta(meta('making', true))
    .optional(),
  minEtchedMm: lengthMm(0.005, 5)
    .describe('narrowest etched mark that a screen may draw; checks go by the sheet’s all the same')
    .meta({ ...meta('making', true, 'mm'), unlessGiven: 'the sheet’s' })
    .optional(),
  minKeptMm: lengthMm(0.005, 5)
    .describe('narrowest land, wall or dot that a screen may leave; checks go by the sheet’s all the same')
    .meta({ ...meta('making', true, 'mm'), unlessGiven: 'the sheet’s' })
    .optional(),
  kerfMm: lengthMm(0, 2)
    .describe('width of a through cut, measured')
    .meta({ ...meta('making', false, 'mm'), unlessGiven: 'the workshop’s' })
    .optional(),
  slotMinutes: z
    .number()
    .min(1)
    .max(1440)
    .describe('booked time to hold the work against')
    .meta(meta('making', false, 'minutes'))
    .optional(),
  compensate: z
    .boolean()
    .describe('allow for what a known spot adds, so that tones and lines come out as asked')
    .meta(meta('making', true))
    .default(true),
  hold: z
    .boolean()
    .describe('judge what the beam will really etch and what will not hold')
    .meta(meta('making', false))
    .default(true),
});

export const jobSchema = settings.extend(screenSettings).extend(outlineSettings);

type Settings = z.output<typeof settings>;

/** A job after all layers, but that its screen may be left to the picture. */
export interface WantedJob extends Omit<Settings, 'process' | 'etch' | 'facing' | 'capPercent' | 'screen'> {
  readonly process: NonNullable<Settings['process']>;
  readonly etch: NonNullable<Settings['etch']>;
  readonly facing: NonNullable<Settings['facing']>;
  readonly capPercent: number;
  /** Null where neither a screen is named nor a setting that only some have. */
  readonly screen: ScreenKind | null;
  /** The chosen screen's own settings, whole; before the choice those that were given. */
  readonly screenParams: Readonly<Record<string, unknown>>;
}

/** A job to plan by: nothing that the plate's bits hang on is optional, save what only the picture can tell. */
export interface Job extends WantedJob {
  readonly screen: ScreenKind;
}
