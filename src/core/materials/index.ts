import { askMaterials } from './ask.ts';
import type { MaterialDef } from './contract.ts';
import { intaglioMaterials } from './intaglio.ts';
import { neverMaterials } from './never.ts';
import { reliefMaterials } from './relief.ts';

/** Kinds of sheet: what is taken for granted of them until a test plate says otherwise, and what is refused. */
export const materials = {
  ...reliefMaterials,
  ...intaglioMaterials,
  ...askMaterials,
  ...neverMaterials,
} as const satisfies Record<string, MaterialDef>;

/** The entry of a kind; undefined where there is none. */
export const materialOfKind = (kind: string): MaterialDef | undefined =>
  Object.values<MaterialDef>(materials).find((sheet) => sheet.kind === kind);
