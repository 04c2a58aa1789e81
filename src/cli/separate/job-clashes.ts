import type { Problem } from '../../core/errors.ts';
import { processes } from '../../core/processes/index.ts';
import type { Layer } from '../../job/layers.ts';
import type { PlateJob } from '../../run/sets/request.ts';
import { cutsOf, type Method } from './method.ts';

/** What must be the same for all plates, or they do not register. */
const CANVAS = ['widthMm', 'heightMm', 'dpi', 'borderMm', 'fit', 'rotateDeg', 'page'];

/** A plate's own job may not move it off the canvas of the others. */
export const offCanvas = (layer: Layer, base: PlateJob | null, own: PlateJob | null): Problem[] =>
  CANVAS.flatMap((key) => {
    if (!(key in layer.values) || !base || !own) return [];
    const [one, other] = [base.job, own.job].map((job) => (job as unknown as Record<string, unknown>)[key]);
    if (one === other) return [];
    return [
      {
        code: 'plate-off-canvas',
        message: `${layer.name}, ${key}: all plates of a set have the same canvas, and this one would not`,
        hint: `Leave ${key} out of it, and give it for the whole set.`,
      },
    ];
  });

/** Pieces are laid by the lines they are cut along, which have the size of the print. */
export const stretchedPieces = (method: Method | null, job: PlateJob['job'] | null): Problem[] =>
  method && cutsOf(method) && job && (job.stretchXPercent > 0 || job.stretchYPercent > 0)
    ? [
        {
          code: 'stretch-of-pieces',
          message:
            '--stretch-x and --stretch-y: the lines that pieces are cut along have the size of the print',
          hint: 'Leave them out, or divide by another method.',
        },
      ]
    : [];

/** One block prints less after each cut; of a plate that holds its ink where it is etched every cut prints more. */
export const notOneBlock = (method: Method | null, plates: readonly PlateJob[]): Problem[] =>
  plates
    .filter(({ job }) => method?.def.oneBlock && processes[job.process].prints !== 'kept')
    .slice(0, 1)
    .map(({ job }) => ({
      code: 'one-block-of-intaglio',
      message: `--by ${method!.def.kind} cuts away what has been printed, but a plate of ${job.process} prints what is cut`,
      hint: 'Give --process relief for all stages, or divide by another method.',
    }));
