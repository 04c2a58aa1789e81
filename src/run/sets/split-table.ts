import type { Light } from '../../core/proof/colour.ts';
import type { SetInk, TonesWay } from '../../core/separations/contract.ts';
import { NO_PLATE } from '../no-plate.ts';
import type { Pool } from '../pool.ts';
import type { NamedMethod } from './split.ts';

/** Has threads make what a method divides rows by, in parts where it has any; in memory that threads share. */
export async function splitTable(
  method: NamedMethod,
  { inParts }: TonesWay,
  inks: readonly SetInk[],
  paper: Light,
  pool: Pool,
): Promise<Uint16Array> {
  if (!inParts || pool.threads === 1)
    return pool.run({ do: 'buildSplit', plate: NO_PLATE, args: [method, inks, paper] });
  const begun = await pool.run({ do: 'beginSplit', plate: NO_PLATE, args: [method, inks, paper] });
  const made = await Promise.all(
    Array.from({ length: inParts.parts }, (_, part) =>
      pool.run({ do: 'splitPart', plate: NO_PLATE, args: [method, inks, paper, begun, part] }),
    ),
  );
  const length = made.reduce((sum, part) => sum + part.length, 0);
  const table = new Uint16Array(new SharedArrayBuffer(2 * length));
  let at = 0;
  for (const part of made) {
    table.set(part, at);
    at += part.length;
  }
  return table;
}
