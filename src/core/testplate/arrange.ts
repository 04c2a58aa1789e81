import { EtchError } from '../errors.ts';
import { type ProcessKind, processes } from '../processes/index.ts';
import { barBlocks } from './bars.ts';
import { EDGE_MM, furnish } from './furniture.ts';
import { layoutId, type TestPlateLayout, type UnnamedLayout } from './layout.ts';
import { pack, take } from './pack.ts';
import { addMoved, type Block, CAP_MM, headed, labelAt, LINE_MM, noParts, type Parts } from './parts.ts';
import { textWidthMm } from '../layout/strokefont.ts';
import { dotsBlock, poolsBlock } from './spots.ts';
import {
  GRAINS_MM,
  grainBlock,
  RULINGS_LPI,
  rulingBlock,
  scrambledBlock,
  solidsBlock,
  stripBlock,
  wedgeBlock,
} from './tones.ts';
import { gapsBlock, ladderBlock, typeBlock } from './wells.ts';

/** What a test plate is asked to be. */
export interface TestPlateWish
  extends Pick<UnnamedLayout, 'process' | 'widthMm' | 'heightMm' | 'dpi' | 'spotMm' | 'beam' | 'screen'> {
  /** Ink tone of the control strip's last patch, 0…1: the darkest that plates of this process get. */
  readonly capShare: number;
  /** Numbers of passes to set side by side, from 1; empty for no ladder. */
  readonly passes: readonly number[];
  /** Names of the screens that samples are drawn with, and the sizes this plate can show; null to leave them out. */
  readonly grain: { readonly kind: string; readonly sizesMm: readonly number[] } | null;
  readonly ruling: { readonly kind: string; readonly rulingsLpi: readonly number[] } | null;
}
