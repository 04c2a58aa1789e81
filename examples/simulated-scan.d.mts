import type { TestPlateLayout } from '../src/core/testplate/layout.ts';

export interface SimulatedScanOptions {
  readonly ppi: number;
  readonly marginMm: number;
  readonly angleDeg: number;
  readonly mirrored: boolean;
  readonly perspective: { readonly x: number; readonly y: number };
  readonly gain: (share: number) => number;
  readonly solidDensity: number;
  readonly plateToneDensity: number;
  readonly growthMm: number;
  readonly limits: {
    readonly minMarkMm?: number;
    readonly minLandMm?: number;
    readonly minWallMm?: number;
    readonly minGapMm?: number;
    readonly maxPoolMm?: number;
    readonly maxGapMm?: number;
  };
  readonly plate: {
    readonly width: number;
    readonly height: number;
    readonly pxPerMm: number;
    readonly ink: Float32Array;
  } | null;
  readonly stretch: { readonly x: number; readonly y: number };
  readonly paperLight: number;
  readonly unevenDensity: number;
  readonly wipingDensity: number;
  readonly blurPx: number;
  readonly noise: number;
  readonly dust: number;
  readonly dirtyEdges: boolean;
  readonly rulerMm: number | null;
  readonly wedge: {
    readonly densities: readonly number[];
    readonly stepMm: number;
    readonly heightMm: number;
    readonly angleDeg?: number;
    readonly isReversed?: boolean;
  } | null;
  readonly scannerCurve: (light: number) => number;
  readonly autoContrast: boolean;
  readonly depthBits: 8 | 16;
  readonly seed: number;
}

export interface SimulatedScan {
  readonly codes: Uint8Array | Uint16Array;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly toScan: readonly number[];
}

export const USUAL: SimulatedScanOptions;
export function dice(seed: number): () => number;
export function simulatedScan(layout: TestPlateLayout, given?: Partial<SimulatedScanOptions>): SimulatedScan;
