import * as z from 'zod';
import { EtchError } from '../errors.ts';
import { type ProcessKind, processes } from '../processes/index.ts';
import { fnv1a } from './fnv.ts';

const at = { xMm: z.number(), yMm: z.number() };
const size = { widthMm: z.number().positive(), heightMm: z.number().positive() };
const box = { ...at, ...size };

const processKind = z.enum(Object.keys(processes) as [ProcessKind, ...ProcessKind[]]);

const screen = z.strictObject({
  kind: z.string().min(1),
  params: z.record(z.string(), z.unknown()),
});

const fiducial = z
  .strictObject({
    xMm: z.number().describe('centre, from the left edge'),
    yMm: z.number().describe('centre, from the upper edge'),
    diameterMm: z.number().positive(),
    kind: z.enum(['solid', 'ring']),
  })
  .describe(
    'three discs of ink and one ring, which tells the corners apart; the ring is half as wide inside',
  );

/** Where tones are, and what they are for. */
const TONE_ZONES = ['wedge', 'wedge-scrambled', 'solids', 'strip', 'grain', 'ruling'] as const;
const SHAPE_ZONES = ['bars', 'dots', 'pools', 'gaps'] as const;

const patch = z.strictObject({
  id: z.string().min(1),
  zone: z.enum(TONE_ZONES),
  share: z.number().min(0).max(1).describe('ink tone asked of the screen, 1 for solid'),
  ...box,
  label: z.string().describe('what is printed beside it; the tone in per cent'),
  screen: screen.nullable().describe('its own screen; null for that of the plate'),
});

const feature = z.strictObject({
  id: z.string().min(1),
  zone: z.enum(SHAPE_ZONES),
  side: z.enum(['etched', 'kept']),
  shape: z.enum(['bar', 'disc', 'square', 'gap']),
  sizeMm: z.number().positive().describe('width across a bar or gap, diameter of a disc, side of a square'),
  direction: z
    .enum(['x', 'y', 'diagonal'])
    .nullable()
    .describe('along which a bar or gap runs; diagonal rises to the right at 45°, its ends cut level'),
  ...box,
});

const ruler = z.strictObject({
  axis: z.enum(['x', 'y']),
  fromMm: z
    .strictObject({ x: z.number(), y: z.number() })
    .describe('its zero: centre of the first tick, outer end'),
  lengthMm: z.number().positive().describe('from the centre of the first tick to that of the last'),
  stepMm: z.number().positive().describe('from tick to tick'),
});

const label = z.strictObject({
  text: z.string(),
  xMm: z.number().describe('left end of its baseline'),
  yMm: z.number().describe('its baseline'),
  capMm: z.number().positive().describe('height of its capitals'),
});

/**
 * A test plate or control strip as machines read it. All places are print-reading, in millimetres right of and below
 * the plate's upper left corner; boxes are given by their own upper left corner.
 */
export const testPlateSchema = z.strictObject({
  schema: z.literal('etchwright/testplate'),
  version: z.literal(1),
  id: z
    .string()
    .regex(/^[0-9a-f]{8}$/)
    .describe('of all the rest; printed on the plate'),
  process: processKind,
  ...size,
  dpi: z.number().positive(),
  spotMm: z.number().positive().nullable().describe('mark of one firing that was allowed for; null for none'),
  beam: z.enum(['pulse', 'sweep']).nullable(),
  screen: screen.describe('of the tints that name none of their own'),
  fiducials: z.array(fiducial),
  patches: z.array(patch),
  features: z.array(feature),
  rulers: z.array(ruler),
  stars: z
    .array(z.strictObject({ ...at, diameterMm: z.number().positive(), spokes: z.int().positive() }))
    .describe('by their centres'),
  type: z
    .array(z.strictObject({ ...box, text: z.string(), sizePt: z.number().positive() }))
    .describe('lines of type; a point is 1/72 inch'),
  strip: z
    .strictObject(box)
    .nullable()
    .describe('the control strip whole; its patches are of the zone strip'),
  ladder: z
    .array(z.strictObject({ ...box, passes: z.int().positive() }))
    .describe('areas that are etched so many times, where the passes have files of their own'),
  paperZones: z.array(z.strictObject(box)).describe('where the print must show bare paper'),
  grounds: z.array(z.strictObject(box)).describe('solid ink behind features that are left bare'),
  labels: z.array(label).describe('lettering; {id} in a text stands for the id'),
  leftOut: z.array(z.string()).describe('what this plate cannot show, and why'),
});

/** A test plate as its layout file has it. */
export type TestPlateLayout = z.output<typeof testPlateSchema>;
/** A patch of one tone. */
export type TestPatch = TestPlateLayout['patches'][number];
/** A bar, dot or pool of one size. */
export type TestFeature = TestPlateLayout['features'][number];
/** A box on the plate, in mm. */
export type BoxMm = TestPlateLayout['paperZones'][number];

/** What an id is made of: everything but the id itself, for which labels have a stand-in. */
export type UnnamedLayout = Omit<TestPlateLayout, 'id'>;

const inOrderOfKeys = (_key: string, value: unknown): unknown =>
  value !== null && typeof value === 'object' && !Array.isArray(value)
    ? Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)))
    : value;

/** The name of a layout, whatever the order of its keys: it tells plates apart, and a layout that was changed by hand. */
export const layoutId = (layout: UnnamedLayout): string => fnv1a(JSON.stringify(layout, inOrderOfKeys));

const HINT = 'Use the .testplate.json that was written beside the plate, unchanged.';

const unreadable = (what: string): EtchError =>
  new EtchError('usage', 'testplate-not-valid', `Reading the layout of a test plate: ${what}`, HINT);

/**
 * Reads a layout out of parsed JSON. Throws EtchError `testplate-not-valid` that names the first place at fault, or
 * `testplate-version` for one from another version.
 */
export function parseTestPlate(value: unknown): TestPlateLayout {
  const head = z.looseObject({ schema: z.unknown(), version: z.unknown() }).safeParse(value);
  if (!head.success || head.data.schema !== 'etchwright/testplate')
    throw unreadable('this is not one: it does not say schema "etchwright/testplate"');
  if (head.data.version !== 1)
    throw new EtchError(
      'usage',
      'testplate-version',
      `Reading the layout of a test plate: it is version ${String(head.data.version)}, and only version 1 is known`,
      'Use the version of the program that made the plate.',
    );
  const parsed = testPlateSchema.safeParse(value);
  if (parsed.success) return parsed.data;
  const [first] = parsed.error.issues;
  throw unreadable(`${first!.path.join('.') || 'the whole'}: ${first!.message}`);
}
