import type { PictureSize } from '../../core/geometry.ts';
import type { PictureFacts } from '../../io/read/facts.ts';
import { outlineWish } from '../../job/outline.ts';
import { layPlate, type Plan, planPlate } from '../../job/plan.ts';
import type { PlannedOutline } from '../outline/outline.ts';
import { type ControlStrip, controlStrip } from './control-strip.ts';
import type { Decided } from './decide.ts';
import type { OpenInput } from './open-input.ts';
import type { PrepareRequest } from './request.ts';
import type { GreySource } from './tone-source.ts';

/** A decoded picture: what it is, how large it is as it lies on the plate, and where its tones are. */
export interface PlacedPicture {
  readonly facts: PictureFacts;
  readonly size: PictureSize;
  readonly source: GreySource;
}

/** A plate that is planned whole, with what stands in its waste. */
export interface PlannedPlate {
  readonly plan: Plan;
  readonly strip: ControlStrip | null;
  readonly outline: PlannedOutline | null;
}

/** The outline of a plate; null for none. */
async function outlineFor(
  { making, outlineMask }: PrepareRequest,
  { job }: Decided,
  plan: Plan,
  { inspection, reading }: OpenInput,
  { facts, size, source }: PlacedPicture,
  signal: AbortSignal,
): Promise<PlannedOutline | null> {
  const wish = outlineWish(job, making);
  if (!wish) return null;
  // here and not above: most plates have none, and it brings its own geometry
  const { planOutline } = await import('../outline/outline.ts');
  const { dpi } = job;
  const { toleranceMm } = wish;
  const layout = layPlate(job, size);
  const shape = { inspection, reading, facts, source, layout, dpi, toleranceMm, mask: outlineMask };
  return planOutline(wish, job, making, plan, shape, signal);
}

/** Plans a plate whose screen is decided: its layout and tones, its control strip, its outline, what a set wants in its waste. */
export async function planWhole(
  request: PrepareRequest,
  decided: Decided,
  input: OpenInput,
  picture: PlacedPicture,
  signal: AbortSignal,
): Promise<PlannedPlate> {
  const { making, waste } = request;
  const { job, built, measured, descreenPerPx } = decided;
  const plan = planPlate(job, making, picture.size, descreenPerPx, measured?.knots);
  const strip = job.controlStrip ? controlStrip(job, making, plan, built) : null;
  const outline = await outlineFor(request, decided, plan, input, picture, signal);
  const finish = {
    ...plan.finish,
    ...(waste?.isCut ? { border: 'kept' as const } : {}),
    ...(strip || waste ? { waste: [...(strip?.insets ?? []), ...(waste?.insets ?? [])] } : {}),
    ...(outline?.guide ? { guide: outline.guide } : {}),
  };
  return { plan: { ...plan, finish }, strip, outline };
}
