/**
 * Sheets to start with so that so many good impressions are left after every pull has spoilt its share:
 * ⌈wanted / (1 − loss)^pulls⌉. `wanted` 0 or more, `pulls` 1 or more, `lossShare` 0 … <1 a pull: 4 to 5 % with practised
 * hands (Fletcher, Wood-Block Printing, 1916). RangeError for other numbers.
 */
export function startSheets(wanted: number, pulls: number, lossShare: number): number {
  if (!(wanted >= 0) || !(pulls >= 1) || !(lossShare >= 0 && lossShare < 1))
    throw new RangeError(`${wanted} sheets, ${pulls} pulls, loss ${lossShare}`);
  // 24 of 24 must not become 25 by the last bit of a power
  return Math.ceil(wanted / (1 - lossShare) ** pulls - 1e-9);
}
