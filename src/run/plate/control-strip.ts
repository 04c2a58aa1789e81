import { EtchError } from '../../core/errors.ts';
import type { Inset } from '../../core/plate.ts';
import type { ScreenDef } from '../../core/screens/contract.ts';
import { screens } from '../../core/screens/index.ts';
import { stripInsets } from '../../core/testplate/insets.ts';
import type { TestPlateLayout } from '../../core/testplate/layout.ts';
import { stripLayout } from '../../core/testplate/strip.ts';
import { STRIP_PLATE_MM } from '../../core/testplate/strip-size.ts';
import type { Making } from '../../job/making.ts';
import type { Plan } from '../../job/plan.ts';
import type { Job } from '../../job/schema.ts';
import { allowedFor, screenPlace } from '../../job/screen-place.ts';
import type { BuiltScreen } from './build-screen.ts';

/** A control strip for a plate: where it is, for `calibrate`, and what is drawn. */
export interface ControlStrip {
  readonly layout: TestPlateLayout;
  readonly insets: readonly Inset[];
}

const cannot = (code: string, message: string, hint: string): EtchError =>
  new EtchError('usage', code, `Drawing the control strip: ${message}`, hint);

/**
 * Draws the control strip of a plate as the test plate had it: through what is predicted for the spot, not through a
 * measured curve, since it is that curve which it is held against. EtchError `strip-needs-tones`, `strip-has-no-room`.
 */
export function controlStrip(
  job: Job,
  making: Making,
  { layout: plate }: Plan,
  built: BuiltScreen,
): ControlStrip {
  const { kind, draws, compensates } = screens[job.screen];
  if (draws !== 'bits' || compensates === 'no')
    throw cannot(
      'strip-needs-tones',
      `the screen ${kind} draws no tones in marks`,
      'Leave --control-strip out, or name another --screen.',
    );
  const { widthMm, heightMm } = plate;
  const layout = stripLayout({
    process: job.process,
    widthMm,
    heightMm,
    dpi: job.dpi,
    ...allowedFor(job, making),
    screen: { kind, params: { ...job.screenParams } },
    borderMm: job.borderMm,
    capShare: job.capPercent / 100,
  });
  if (!layout)
    throw cannot(
      'strip-has-no-room',
      `a plate of ${widthMm} × ${heightMm} mm is too narrow for it`,
      `The plate must be ${STRIP_PLATE_MM} mm wide or more, and higher than its two borders.`,
    );
  const place = screenPlace({ ...job, capPercent: 100, floorPercent: 0 }, making);
  // the registry's entries have parameter types of their own; the job has checked them
  const def = screens[job.screen] as unknown as ScreenDef;
  const toneTable = built.curve?.table ?? null;
  const screen = { def, params: job.screenParams, place, tables: built.tables, toneTable };
  return { layout, insets: stripInsets(layout, screen) };
}
