/** What is taken for granted of a kind of sheet until a test plate says otherwise. */
export interface MaterialDef {
  readonly kind: string;
  readonly summary: string;
  /** Depth of one pass at an ordinary setting, from memory: it differs with every machine. */
  readonly depthPerPassMm: number;
}

const entry = (kind: string, depthPerPassMm: number, summary: string): MaterialDef => ({
  kind,
  summary,
  depthPerPassMm,
});

/** Kinds of sheet with a first guess at the depth of a pass (all from memory; measure your own). */
export const materials = {
  lino: entry('lino', 0.5, 'linoleum: linseed oil, cork and chalk on hessian'),
  wood: entry('wood', 0.5, 'solid wood, such as cherry, pear or maple'),
  plywood: entry('plywood', 0.5, 'plywood; ask which glue it has'),
  mdf: entry('mdf', 0.4, 'medium-density fibreboard'),
  rubber: entry('rubber', 0.5, 'rubber sold for engraving'),
  acrylic: entry('acrylic', 0.1, 'cast acrylic'),
  zinc: entry('zinc', 0.01, 'zinc sheet, on a machine made for metal'),
  copper: entry('copper', 0.01, 'copper sheet, on a machine made for metal'),
} as const satisfies Record<string, MaterialDef>;
