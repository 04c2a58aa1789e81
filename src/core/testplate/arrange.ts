import { EtchError } from '../errors.ts';
import { textWidthMm } from '../layout/strokefont.ts';
import { processes } from '../processes/index.ts';
import { barBlocks } from './bars.ts';
import { take } from './boxes.ts';
import { furnish } from './furniture.ts';
import { type BoxMm, layoutId, type TestPlateLayout, type UnnamedLayout } from './layout.ts';
import { type Packing, pack } from './pack.ts';
import { addMoved, type Block, CAP_MM, LINE_MM, labelAt, noParts, tidy } from './parts.ts';
import { grainSamples, rulingSamples } from './sample-zones.ts';
import type { Sides } from './sides.ts';
import { EDGE_MM } from './strip-size.ts';
import { dotsBlock, poolsBlock } from './spots.ts';
import { scrambledBlock, solidsBlock, stripBlock, wedgeBlock } from './tones.ts';
import { typeBlock } from './type.ts';
import { gapsBlock, ladderBlock } from './wells.ts';

/** What a test plate is asked to be. */
export interface TestPlateWish
  extends Pick<UnnamedLayout, 'process' | 'widthMm' | 'heightMm' | 'dpi' | 'spotMm' | 'beam' | 'screen'> {
  /** Ink tone of the control strip's last patch, 0…1: the darkest that plates of this process get. */
  readonly capShare: number;
  /** Numbers of passes to set side by side; empty for no ladder. */
  readonly passes: readonly number[];
}

/** Three lines that say what the plate is. */
function titleBlock({ process: kind, dpi, screen, spotMm }: TestPlateWish): Block {
  const spot = spotMm === null ? 'spot not allowed for' : `spot ${spotMm} mm`;
  const words = [`{id} ${kind}`, `${dpi} dpi, ${screen.kind}`, spot];
  const widthOf = (line: string): number => textWidthMm(line.replace('{id}', '00000000'), CAP_MM);
  const lines = [[words.join(', ')], words];
  return {
    name: 'title',
    shapes: lines.map((texts) => {
      const parts = noParts();
      for (const [i, text] of texts.entries()) parts.labels.push(labelAt(text, 0, i * LINE_MM));
      return {
        widthMm: Math.max(...texts.map(widthOf)),
        heightMm: texts.length * LINE_MM,
        parts,
      };
    }),
  };
}

const PAPER_MM = { most: 6, least: 4 };
const PAPERS = { most: 5, least: 2 };
/** Kept from what stands around a sample of paper. */
const PAPER_RIM_MM = 0.7;

/** Squares of bare paper in what nothing else took, the roomiest first. */
function papersIn(free: readonly BoxMm[]): BoxMm[] {
  const papers: BoxMm[] = [];
  const roomOf = ({ widthMm, heightMm }: BoxMm): number => Math.min(widthMm, heightMm) - 2 * PAPER_RIM_MM;
  let left = free;
  while (papers.length < PAPERS.most) {
    const [widest] = [...left].sort((a, b) => roomOf(b) - roomOf(a));
    if (!widest || roomOf(widest) < PAPER_MM.least) break;
    const side = Math.min(PAPER_MM.most, Math.floor(roomOf(widest)));
    const paper = {
      xMm: tidy(widest.xMm + (widest.widthMm - side) / 2),
      yMm: tidy(widest.yMm + (widest.heightMm - side) / 2),
      widthMm: side,
      heightMm: side,
    };
    papers.push(paper);
    left = take(left, paper);
  }
  return papers;
}

interface Zones {
  readonly first: Block;
  readonly last: Block;
  readonly between: readonly Block[];
  readonly leftOut: readonly string[];
}

function zonesFor(wish: TestPlateWish): Zones {
  const { prints, border } = processes[wish.process];
  const sides: Sides =
    prints === 'kept' ? { ink: 'kept', paper: 'etched' } : { ink: 'etched', paper: 'kept' };
  const samples = [grainSamples(wish), rulingSamples(wish)];
  return {
    first: wedgeBlock(),
    last: scrambledBlock(),
    between: [
      solidsBlock(),
      ...barBlocks(sides),
      dotsBlock(sides),
      // open bite is a matter of etched ink, chatter one of etched paper
      sides.ink === 'etched' ? poolsBlock() : gapsBlock(),
      ...samples.flatMap(({ block }) => block ?? []),
      typeBlock(),
      stripBlock(wish.capShare),
      ...(wish.passes.length > 0 ? [ladderBlock(wish.passes, border === 'etched')] : []),
      titleBlock(wish),
    ],
    leftOut: samples.flatMap(({ leftOut }) => leftOut),
  };
}

/** Room between zones, mm: as much as the plate has. */
const AIRS_MM = [12, 8, 5, 4, 3, 2, 1.5, 1];

function packZones(
  { first, last, between }: Zones,
  widthMm: number,
  heightMm: number,
  airsMm: readonly number[],
): Packing | null {
  const inner = {
    xMm: EDGE_MM,
    yMm: EDGE_MM,
    widthMm: widthMm - 2 * EDGE_MM,
    heightMm: heightMm - 2 * EDGE_MM,
  };
  if (inner.widthMm <= 0 || inner.heightMm <= 0) return null;
  const room = { inner, taken: furnish(widthMm, heightMm).taken };
  const enough = (left: readonly BoxMm[]): boolean => papersIn(left).length >= PAPERS.least;
  for (const airMm of airsMm) {
    const packing = pack(first, last, between, room, airMm, enough);
    if (packing) return packing;
  }
  return null;
}

const LARGEST_MM = 2000;

/** The least whole number of millimetres from which on `fits`, taken to be so for all larger ones; null where none is. */
function least(fits: (mm: number) => boolean): number | null {
  if (!fits(LARGEST_MM)) return null;
  let [no, yes] = [0, LARGEST_MM];
  while (yes - no > 1) {
    const middle = (yes + no) >> 1;
    if (fits(middle)) yes = middle;
    else no = middle;
  }
  return yes;
}

function tooSmall(zones: Zones, widthMm: number, heightMm: number): EtchError {
  const tall = least((mm) => packZones(zones, widthMm, mm, AIRS_MM.slice(-1)) !== null);
  const wide = least((mm) => packZones(zones, mm, heightMm, AIRS_MM.slice(-1)) !== null);
  const ways = [
    ...(tall === null ? [] : [`${widthMm} × ${tall} mm`]),
    ...(wide === null ? [] : [`${wide} × ${heightMm} mm`]),
  ];
  return new EtchError(
    'usage',
    'testplate-too-small',
    `Laying out the test plate: ${widthMm} × ${heightMm} mm has no room for all of it`,
    ways.length > 0 ? `It fits on ${ways.join(' or ')}.` : 'Take both sides larger; 150 × 100 mm is enough.',
  );
}

/**
 * Lays the zones of a test plate out on a plate of this size: the wedge at the top, its scrambled twin at the foot,
 * the others where they fit. Throws EtchError `testplate-too-small` that names sizes which are enough.
 */
export function arrangeTestPlate(wish: TestPlateWish): TestPlateLayout {
  const { widthMm, heightMm, dpi, spotMm, beam, screen } = wish;
  const zones = zonesFor(wish);
  const packing = packZones(zones, widthMm, heightMm, AIRS_MM);
  if (!packing) throw tooSmall(zones, widthMm, heightMm);
  const parts = noParts();
  for (const { shape, xMm, yMm } of packing.placed) addMoved(parts, shape.parts, xMm, yMm);
  parts.paperZones.push(...papersIn(packing.free));
  const { fiducials, rulers, stars, labels } = furnish(widthMm, heightMm);
  const layout: UnnamedLayout = {
    schema: 'etchwright/testplate',
    version: 1,
    process: wish.process,
    widthMm,
    heightMm,
    dpi,
    spotMm,
    beam,
    screen,
    fiducials,
    ...parts,
    rulers,
    stars,
    labels: [...labels, ...parts.labels],
    leftOut: [...zones.leftOut],
  };
  return { ...layout, id: layoutId(layout) };
}
