import * as z from 'zod';
import { OUTLINE_USES } from '../core/materials/contract.ts';
import { ORIGINS } from '../job/layers.ts';

export const count = z.int().min(0);
/** A length in mm, and which. */
export const mm = (what: string) => z.number().describe(what).meta({ unit: 'mm' });
const share = (what: string) => z.number().min(0).max(1).describe(what);
/** A name and no path: what a report names lies beside it, nowhere else. */
const fileName = z.string().regex(/^(?!\.{1,2}$)[^/\\\0]+$/);
export const sha256 = z.string().regex(/^[0-9a-f]{64}$/);

const cautionSchema = z.strictObject({
  code: z.string().describe('stable name for scripts'),
  severity: z.enum(['note', 'warn', 'stop']),
  text: z.string().describe('what was seen'),
  value: z.number().nullable().describe('the value that gave rise to it, in `unit`'),
  limit: z.number().nullable().describe('the limit it was held against, in `unit`'),
  unit: z.string().nullable(),
  cure: z.string().describe('what to do about it'),
});

/** One thing people should know before the plate is made. */
export type Caution = z.output<typeof cautionSchema>;

const clearingSchema = z.strictObject({
  finePasses: count.describe('passes of the plate itself, which come first'),
  depthPerPassMm: mm('depth one clearing pass is taken to give'),
  basis: z
    .enum(['given', 'as-the-plate'])
    .describe('who says so; as-the-plate: nobody, as deep as a pass of the plate is hoped for'),
  dpi: z.number().describe('of the clearing plates'),
  ratio: z.int().min(1).describe('pixels of the plate along one pixel of a clearing plate'),
  widthPx: count,
  heightPx: count,
  residueMm: z.strictObject({
    x: mm('size of the clearing plates less that of the plate; their top left corners are the same'),
    y: mm('likewise'),
  }),
  plates: z.array(
    z.strictObject({
      file: z.string().nullable(),
      passes: count,
      insetMm: mm('least distance from every wall'),
      gapsOverMm: mm('it covers gaps wider than this, which the passes before leave too shallow'),
      gaps: count.describe('how many those are'),
      neededMm: mm('depth the deepest of them needs; null where no depth is enough').nullable(),
      reachedMm: mm('depth of its ground when it is done'),
      etched: share('share of it that is fired'),
      timeS: z.number().describe('all its passes'),
      bitsSha256: sha256,
    }),
  ),
  gaps: z.strictObject({
    count: count.describe('cleared areas that need more depth than the passes of the plate itself give'),
    shallow: count.describe('of these, how many do not reach the depth they need'),
    places: z
      .array(
        z.strictObject({
          xMm: z.number(),
          yMm: z.number(),
          widthMm: mm('largest circle that lies in it'),
          neededMm: mm('null where no depth is enough').nullable(),
          reachedMm: mm('counted on the clearing plates, in the middle of the circle'),
        }),
      )
      .describe('the widest ten'),
  }),
  withoutS: z.number().describe('what the same depth takes in passes of the whole plate'),
  savedS: z.number().describe('what the clearing plates save of that'),
});

/**
 * The report of one plate. Lengths in mm, areas in mm², coverage 0…1, times in seconds; no clock time and no
 * path, so that the same job gives the same bytes. What was not measured is null, never a guess.
 */
export const reportSchema = z.strictObject({
  schema: z.literal('etchwright/report'),
  version: z.literal(1),
  tool: z.strictObject({
    name: z.literal('etchwright'),
    version: z.string(),
    engine: z.strictObject({
      sharp: z.string(),
      libvips: z.string(),
      algorithms: z
        .int()
        .describe('number of the version of our own algorithms; the bits may differ between two'),
    }),
  }),
  input: z.strictObject({
    name: z.string(),
    sha256,
    format: z.string(),
    widthPx: count.describe('as stored'),
    heightPx: count.describe('as stored'),
    ppi: z
      .strictObject({ x: z.number(), y: z.number() })
      .nullable()
      .describe('pixels per inch, upright, where the file states them in absolute units'),
    orientation: z.int().min(1).max(8).describe('EXIF orientation, already applied'),
    alpha: z.boolean(),
    profile: z.string().nullable().describe('embedded colour profile, already applied'),
    depthBits: z.union([z.literal(8), z.literal(16)]),
    frames: count,
    listed: z
      .string()
      .nullable()
      .describe('the picture as its list or job file names it, from the folder of that; null for any other')
      .default(null),
    permission: z.string().nullable().describe('source and permission of the picture, as given'),
  }),
  job: z
    .record(z.string(), z.unknown())
    .describe('every setting that decides the bits; may be used as a job file'),
  jobSha256: sha256.describe(
    'SHA-256 of `job` as JSON, keys in order of the alphabet; tells a job that was changed since',
  ),
  origins: z.record(z.string(), z.enum(ORIGINS)).describe('where each setting came from'),
  workshop: z.strictObject({
    name: z.string(),
    sha256: sha256.nullable(),
    machine: z.string().nullable(),
    press: z.string().nullable(),
  }),
  material: z
    .strictObject({
      id: z.string(),
      kind: z.string().nullable(),
      batch: z.string().nullable(),
      confirmedBy: z.string().nullable(),
    })
    .nullable(),
  curve: z
    .strictObject({
      name: z.string(),
      sha256: sha256.describe('of the curve file'),
      measuredOn: z.string().describe('day of the proof'),
      knots: z
        .array(z.tuple([z.number(), z.number()]))
        .describe('ink tone in the file, and ink tone that its print was as good as, 0…1'),
    })
    .nullable()
    .describe('the measured curve that the tones went through; `--curve` takes it from a report too'),
  plate: z.strictObject({
    process: z.string(),
    widthMm: mm('the size asked for, stretched where paper will shrink'),
    heightMm: mm('likewise'),
    printMm: z
      .strictObject({ width: z.number(), height: z.number() })
      .optional()
      .describe('size of the print once its paper is dry, where the plate is stretched for that'),
    widthPx: count,
    heightPx: count,
    dpi: z.number(),
    pitchMm: mm('distance from one pixel to the next'),
    residueMm: z.strictObject({ x: mm('real size less the size asked for'), y: mm('likewise') }),
    facing: z.enum(['plate', 'print']),
    mirrored: z.boolean(),
    etches: z.enum(['dark', 'light']).describe('side of the picture that is etched'),
    sourcePpi: z.number().describe('pixels of the picture to one inch of plate'),
    cropPercent: z.strictObject({
      left: z.number(),
      right: z.number(),
      top: z.number(),
      bottom: z.number(),
    }),
  }),
  screen: z
    .looseObject({
      kind: z.string(),
      tones: z.int().nullable(),
      why: z.string().optional().describe('why this screen was chosen, where none was named'),
      predictedKnots: z
        .array(z.tuple([z.number(), z.number()]))
        .optional()
        .describe(
          'the curve through the spot: etched share of the file, and share that is predicted to be etched',
        ),
    })
    .describe('the screen with its settings as achieved'),
  coverage: z.strictObject({
    etched: share('etched pixels of all, counted on the finished plate; of a tone plate its mean'),
    etchedMm2: z.number(),
    kept: share('what stays'),
    inked: share('what prints'),
    predicted: share('etched share after the spread of the spot').nullable(),
    predictedMm2: z.number().nullable(),
  }),
  passes: z
    .strictObject({
      count: count,
      depthMm: mm('depth asked for').nullable(),
      depthPerPassMm: mm('depth one pass is taken to give').nullable(),
      basis: z
        .enum(['given', 'measured', 'common-practice', 'from-memory'])
        .nullable()
        .describe('where the depth of one pass comes from; given: passes and depth were'),
      plan: z.array(
        z
          .strictObject({ dpi: z.number(), file: z.string().nullable(), timeS: z.number().nullable() })
          .describe('one pass, in the order they are run'),
      ),
      clearing: clearingSchema
        .nullable()
        .describe('the clearing plates of a relief and what they come to; null without --clearing'),
    })
    .nullable(),
  time: z
    .strictObject({
      perPassS: z.number(),
      totalS: z.number(),
      rows: count,
      slotS: z.number(),
      fits: z.boolean(),
      basis: z.string(),
    })
    .nullable(),
  hold: z
    .strictObject({
      checks: z.array(
        z.strictObject({
          code: z.string(),
          limitMm: z.number().nullable().describe('null where nothing is too wide'),
          basis: z
            .enum(['measured', 'common-practice', 'from-memory'])
            .describe('where the limit comes from'),
          worstMm: z.number().nullable().describe('null where everything holds'),
          count,
          areaMm2: z.number(),
          share: z.number().describe('share of its side of the plate that does not hold, 0…1'),
          places: z.array(
            z.strictObject({ xMm: z.number(), yMm: z.number(), widthMm: z.number(), heightMm: z.number() }),
          ),
        }),
      ),
    })
    .nullable(),
  outline: z
    .strictObject({
      kind: z.string(),
      as: z
        .enum(OUTLINE_USES)
        .describe(
          'drawn as a line for a cut, a guide in the waste for cutting by hand, or a template to lay the sheet by',
        ),
      lengthMm: mm('of all lines'),
      areaMm2: z.number().describe('inside the lines as drawn, holes taken off'),
      pieces: count,
      holes: count,
      kerfMm: mm('the lines run half of it outside the piece; 0 where nothing is cut'),
      toleranceMm: mm('furthest that the lines may lie from the true ones'),
      minRadiusMm: mm('smallest radius of a shape').nullable(),
      minBridgeMm: mm('narrowest neck of a shape').nullable(),
      pageMm: z.strictObject({ width: z.number(), height: z.number() }).describe('page of the outline files'),
      originMm: z
        .strictObject({ x: z.number(), y: z.number() })
        .describe('top left corner of the plate’s raster on that page; both read the same way round'),
      maskSha256: sha256.nullable().describe('of the mask it was traced from'),
    })
    .nullable()
    .describe('the line around the finished piece'),
  files: z.array(
    z.strictObject({
      role: z
        .enum([
          'plate',
          'clearing',
          'shelf',
          'outline',
          'cut',
          'backs',
          'proof',
          'hold',
          'jobsheet',
          'register',
          'bed',
          'jig',
        ])
        .describe(
          'shelf: recesses of a kento, a pass of their own; cut: lines between pieces; backs: map of the numbers on their backs; register: map of how true the plates of a set must lie; bed: template of the press bed; jig: cut from board',
        ),
      name: fileName.describe('of a file beside the report'),
      format: z.string(),
      photometric: z.string().nullable().describe('which stored value means white'),
      packed: z
        .enum(['deflate', 'group4'])
        .nullable()
        .describe('how its strips are packed; null where its format has one way')
        .default(null),
      fire: z
        .enum(['dark', 'light'])
        .nullable()
        .describe('which pixel value tells the machine to fire; null where nothing is fired from the file'),
      bytes: count,
      sha256,
      statedDpi: z
        .strictObject({ x: z.number(), y: z.number() })
        .nullable()
        .describe('resolution the file states, as read back; a format may round `plate.dpi`'),
    }),
  ),
  bitsSha256: sha256.describe(
    'SHA-256 of width and height (uint32, big-endian), then the packed rows of the finished plate, 1 = etch, padding 0; of a tone plate its rows of bytes, 255 = etched in full',
  ),
  askedSha256: sha256.describe(
    'SHA-256 of all that was asked of this plate beside its picture; `batch --resume` goes by it',
  ),
  cautions: z.array(cautionSchema),
});

export type Report = z.output<typeof reportSchema>;
