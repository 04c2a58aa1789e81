import { daysBetween } from '../../job/measured-curve.ts';
import type { TestPlateReport } from '../../report/calibration/testplate-schema.ts';
import type { GangReport, PlacedPlate } from '../../report/gang/schema.ts';
import type { Caution, Report } from '../../report/schema.ts';
import type { Draft, GangEntry, PlateEntry } from '../../store/notebook/entry.ts';
import type { Calibrated, CalibrateRequest, CheckedStrip } from '../calibration/calibrate.ts';

type DraftOf<Kind extends Draft['kind']> = Extract<Draft, { kind: Kind }>;

/** What is known of a run beside its report. */
export interface RunFacts {
  readonly command: string;
  readonly name: string;
  readonly made: boolean;
  readonly note: string | undefined;
  /** Day of the run, such as 2031-05-03. */
  readonly today: string;
  /** Where the picture lies, from the folder of the notebook; null for none. */
  readonly picturePath: string | null;
}

/** What a report of any kind holds that entries keep. */
interface Told {
  readonly tool: Report['tool'];
  readonly workshop: Report['workshop'];
  readonly material: Report['material'];
  readonly cautions: readonly Pick<Caution, 'code' | 'severity' | 'text'>[];
  readonly files: readonly Pick<
    PlateEntry['files'][number],
    'role' | 'name' | 'format' | 'packed' | 'sha256'
  >[];
}

const headOf = ({ tool, workshop, material, cautions, files }: Told, run: RunFacts) => ({
  command: run.command,
  name: run.name,
  made: run.made,
  note: run.note ?? null,
  tool: { version: tool.version, engine: tool.engine },
  machine: workshop.machine,
  material,
  // safety reminders go with every plate alike and tell two tries nothing
  cautions: cautions
    .filter(({ severity }) => severity !== 'note')
    .map(({ code, severity, text }) => ({ code, severity, text })),
  files: files.map(({ role, name, format, packed, sha256 }) => ({ role, name, format, packed, sha256 })),
});

const fireOf = (files: Report['files']): 'dark' | 'light' =>
  files.find(({ role }) => role === 'plate')?.fire ?? 'dark';

/** What a run leaves in the notebook of a plate: its report without what can be made again from it. */
export function plateDraft(report: Report, run: RunFacts): DraftOf<'plate'> {
  const { input, plate, workshop, curve, coverage, passes, time, hold } = report;
  const { why: _, predictedKnots: __, ...screen } = report.screen;
  return {
    kind: 'plate',
    ...headOf(report, run),
    input: { name: input.name, sha256: input.sha256, path: run.picturePath },
    job: report.job,
    plate: {
      process: plate.process,
      widthMm: plate.widthMm,
      heightMm: plate.heightMm,
      dpi: plate.dpi,
    },
    screen,
    press: workshop.press,
    curve: curve && { ...curve, ageDays: daysBetween(curve.measuredOn, run.today) },
    coverage: { etched: coverage.etched, inked: coverage.inked, predicted: coverage.predicted },
    passes: passes?.count ?? null,
    timeS: time?.totalS ?? null,
    slotS: time?.slotS ?? null,
    hold:
      hold?.checks.map(({ code, limitMm, worstMm, count, areaMm2 }) => ({
        code,
        limitMm,
        worstMm,
        count,
        areaMm2,
      })) ?? null,
    fire: fireOf(report.files),
    bitsSha256: report.bitsSha256,
  };
}

/** Of a test plate. */
export function testPlateDraft(report: TestPlateReport, run: RunFacts): DraftOf<'testplate'> {
  const { process, widthMm, heightMm, dpi } = report.plate;
  return {
    kind: 'testplate',
    ...headOf(report, run),
    layoutId: report.layoutId,
    job: report.job,
    passLadder: report.passLadder,
    plate: { process, widthMm, heightMm, dpi },
    screen: { ...report.screen.params, kind: report.screen.kind },
    press: report.workshop.press,
    etched: report.etched,
    timeS: report.time?.totalS ?? null,
    plates: report.plates,
    fire: fireOf(report.files),
  };
}

const placeOf = (one: PlacedPlate): GangEntry['sheets'][number]['placed'][number] => ({
  id: one.id,
  name: one.name,
  file: one.file,
  sha256: one.sha256,
  fire: one.fire,
  bitsSha256: one.bitsSha256,
  turned: one.turned,
  mirrored: one.mirrored,
  screen: one.screen,
  xPx: one.xPx,
  yPx: one.yPx,
  widthPx: one.widthPx,
  heightPx: one.heightPx,
});

/** Of a gang. */
export function gangDraft(report: GangReport, run: RunFacts): DraftOf<'gang'> {
  const files = report.sheets.flatMap((sheet) => sheet.files);
  const { method, compared, totalS } = report.arrangement;
  return {
    kind: 'gang',
    ...headOf({ ...report, files }, run),
    process: report.process,
    dpi: report.dpi,
    sheet: report.sheet,
    asked: report.asked,
    askedSha256: report.askedSha256,
    arrangement: { method, compared },
    passes: report.passes?.count ?? null,
    timeS: totalS,
    sheets: report.sheets.map(({ etched, bitsSha256, placed }) => ({
      etched,
      bitsSha256,
      placed: placed.map(placeOf),
    })),
    fire: fireOf(files),
  };
}

/** Of a measured curve; with the files that it was read from and those that were written, its own first. */
export function calibrationDraft(
  { curve }: Calibrated,
  { about, into }: Pick<CalibrateRequest, 'about' | 'into'>,
  hashes: {
    readonly scans: readonly { readonly name: string; readonly sha256: string }[];
    readonly files: readonly { readonly name: string; readonly sha256: string }[];
  },
  tool: Report['tool'],
  run: RunFacts,
): DraftOf<'calibration'> {
  const { limits, wedge } = curve;
  const material = about.material;
  return {
    kind: 'calibration',
    ...headOf(
      {
        tool,
        workshop: { name: '', sha256: null, machine: curve.machine, press: null },
        material:
          material === null ? null : { id: material, kind: null, batch: about.batch, confirmedBy: null },
        cautions: curve.warnings.map(({ code, text }) => ({ code, severity: 'warn', text })),
        files: hashes.files.map(({ name, sha256 }) => ({
          role: name.endsWith('.html') ? 'sheet' : 'curve',
          name,
          format: name.endsWith('.html') ? 'html' : 'json',
          packed: null,
          sha256,
        })),
      },
      run,
    ),
    curve: {
      name: curve.name,
      sha256: hashes.files[0]!.sha256,
      measuredOn: curve.measuredOn,
      knots: curve.knots.map(({ share, printed }): [number, number] => [share, printed]),
    },
    layoutId: curve.layoutId,
    process: curve.process,
    dpi: curve.dpi,
    screen: curve.screen,
    scans: [...hashes.scans],
    wedge: wedge?.name ?? null,
    target: curve.target,
    whiteDensity: curve.whiteDensity,
    solidDensity: curve.solidDensity,
    capPercent: curve.capPercent,
    floorPercent: curve.floorPercent,
    limitsMm: Object.fromEntries(Object.entries(limits).map(([key, limit]) => [key, limit?.mm ?? null])),
    into,
  };
}

/** Of a control strip; with the hashes of its scan and of the curve file, which is null where it is gone. */
export function stripDraft(
  { drift, curve, layout, wedge }: CheckedStrip,
  hashes: {
    readonly scans: readonly { readonly name: string; readonly sha256: string }[];
    readonly curve: string | null;
  },
  about: { readonly machine: string | null; readonly material: string | null; readonly batch: string | null },
  tool: Report['tool'],
  run: RunFacts,
): DraftOf<'strip'> {
  const { machine, material, batch } = about;
  return {
    kind: 'strip',
    ...headOf(
      {
        tool,
        workshop: { name: '', sha256: null, machine, press: null },
        material: material === null ? null : { id: material, kind: null, batch, confirmedBy: null },
        cautions: [],
        files: [],
      },
      run,
    ),
    curve: { name: curve.name, sha256: hashes.curve, measuredOn: curve.measuredOn },
    layoutId: layout.id,
    process: layout.process,
    dpi: layout.dpi,
    screen: layout.screen,
    scans: [...hashes.scans],
    wedge,
    isLikeRead: drift.isLikeRead,
    holds: drift.holds,
    patches: drift.patches.map(({ share, lightness, expected }) => ({
      share,
      lightness: Number(lightness.toFixed(2)),
      expected: Number(expected.toFixed(2)),
    })),
  };
}
