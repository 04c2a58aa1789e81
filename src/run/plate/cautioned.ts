import { screens } from '../../core/screens/index.ts';
import type { Plan } from '../../job/plan.ts';
import { curveCautions } from '../../report/cautions/curve.ts';
import { caution, plateCautions } from '../../report/cautions/index.ts';
import { makingCautions } from '../../report/cautions/making.ts';
import { outlineCautions } from '../../report/cautions/outline.ts';
import { reachCautions } from '../../report/cautions/reach.ts';
import { remadeCautions } from '../../report/cautions/remade.ts';
import { screenedCautions } from '../../report/cautions/screened.ts';
import type { Judged } from '../../report/judged.ts';
import type { OutlineFacts } from '../../report/outline.ts';
import type { Caution } from '../../report/schema.ts';
import type { Made } from './bands.ts';
import type { Decided } from './decide.ts';
import { drawnAtFull } from './open-input.ts';
import type { PlacedPicture } from './plan-plate.ts';
import type { PrepareRequest } from './request.ts';

/** All that was found of a plate on its way. */
export interface SeenPlate {
  readonly decided: Decided;
  readonly picture: Omit<PlacedPicture, 'source'>;
  readonly plan: Plan;
  readonly made: Pick<Made, 'etchedPx' | 'bitsSha256' | 'thinLines'>;
  readonly judged: Judged;
  /** Null for a plate without one. */
  readonly outline: OutlineFacts | null;
}

const inputCautions = ({ facts }: SeenPlate['picture']): Caution[] =>
  facts.cautions.map(({ code, severity, text, cure }) =>
    caution({ code, severity, text: text.replace(/\.$/, ''), cure }),
  );

/** What people should know of a plate before it is made, in the order they are told it. */
export async function cautionsOf(
  request: PrepareRequest,
  { decided, picture, plan, made, judged, outline }: SeenPlate,
): Promise<Caution[]> {
  const { making, curves, expects } = request;
  const { job, built, measured } = decided;
  const { widthPx, heightPx, sourcePpi } = plan.layout;
  const isInk = 'ink' in request.input && request.input.ink !== null;
  const seen = await decided.picture;
  return [
    ...inputCautions(picture),
    ...(seen
      ? screenedCautions(
          { ...decided, picture: seen, asked: job.descreen, screen: job.screen },
          picture.size.ppiX ?? sourcePpi,
        )
      : []),
    ...plateCautions(job, plan, {
      etched: made.etchedPx / (widthPx * heightPx),
      thinLines: made.thinLines,
      lineArt: screens[job.screen].forLineArt,
      ofSet: request.within !== undefined,
      drawn: isInk || drawnAtFull(picture.facts, plan.layout, job.dpi),
    }),
    ...reachCautions(job, making, built.achieved, measured !== null),
    ...curveCautions(job, making, measured, curves),
    ...(expects ? remadeCautions(expects, made.bitsSha256) : []),
    ...(outline ? outlineCautions(outline, making) : []),
    ...makingCautions(judged),
  ];
}
