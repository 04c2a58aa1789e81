import { closeSync } from 'node:fs';
import type { PlateLayout } from '../../../core/geometry.ts';
import { parseColour } from '../../../core/proof/colour.ts';
import type { SetInk, TonesWay } from '../../../core/separations/contract.ts';
import type { PictureFacts } from '../../../io/read/facts.ts';
import type { RunContext } from '../../plate/context.ts';
import { beginScreens } from '../../plate/decide.ts';
import type { Pool } from '../../pool.ts';
import type { Division } from '../division.ts';
import { plateJobOf } from '../jobs.ts';
import type { SeparateRequest } from '../request.ts';
import { splitScratches } from '../source/split-scratches.ts';
import { splitTable } from '../split-table.ts';
import { inksFor } from './inks.ts';
import type { LaidPicture } from './laid.ts';

const tonedFacts = (told: PictureFacts): PictureFacts => ({
  ...told,
  alpha: false,
  depthBits: 16,
  blackCode: 0,
  whiteCode: 65535,
  drawing: false,
  cautions: [],
});

/**
 * Begins to divide a picture into tones, of which the layout alone is known yet: where inks are given, threads make what it is
 * divided by meanwhile. Gives what divides it once it is decoded.
 */
export function beginTones(
  request: SeparateRequest,
  way: TonesWay,
  expected: PlateLayout,
  context: RunContext,
): (laid: LaidPicture) => Promise<Division> {
  const { base, method, looking } = request;
  // its threads are started for tones alone: areas are shaped in this one, and want the memory
  const poolOf = (): Pool => context.poolFor((expected.widthPx * expected.heightPx) / 1000);
  const named = { kind: method!.def.kind, params: method!.params };
  const build = (inks: readonly SetInk[]): Promise<Uint16Array> => {
    const paper = parseColour(looking.paperColour, 'paper');
    const divided = { plates: inks, layout: expected, draws: 'tones', onRaster: false, cut: null } as const;
    const jobs = inks.map((_, index) => plateJobOf(request, divided, index));
    const table = splitTable(named, way, inks, paper, poolOf());
    // one thread is long about the table's beginning, and nothing else is to do meanwhile
    beginScreens(jobs, poolOf(), context.builtScreens);
    return table;
  };
  // while the picture is being decoded
  const early = request.inks ? build(request.inks) : null;
  // whoever asks for it hears of a failure
  early?.catch(() => undefined);
  return async ({ picture, layout }) => {
    const { signal, scratchFolder } = context;
    const inks = inksFor(request, picture, base.job.rotateDeg);
    const table = await (early ?? build(inks));
    const count = inks.length;
    const scratches = await splitScratches(picture, named, table, count, poolOf(), scratchFolder, signal);
    const { facts } = picture;
    return {
      inks,
      plates: inks,
      draws: 'tones',
      onRaster: false,
      layout,
      facts,
      findings: [],
      areas: null,
      cut: null,
      open: async (plate) => ({
        input: {
          name: facts.name,
          picture: { facts: tonedFacts(facts), scratch: scratches[plate]! },
          ink: null,
          told: facts,
        },
        close: () => undefined,
      }),
      close: () => {
        for (const { fd } of scratches) closeSync(fd);
      },
    };
  };
}
