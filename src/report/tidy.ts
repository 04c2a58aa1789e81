/** Rounds away what floating point adds: a picometre, a millionth of a per cent. */
export const tidy = (value: number): number => Math.round(value * 1e9) / 1e9;
