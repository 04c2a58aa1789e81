const FORM = /^(\d+(?:[.,]\d+)?)\s*(min|h|)$/;

/** A time in minutes, `90`, `90min` or `1.5h`; null for anything else. */
export function parseMinutes(text: string): number | null {
  const [, digits, unit] = FORM.exec(text) ?? [];
  if (digits === undefined) return null;
  return Number(digits.replace(',', '.')) * (unit === 'h' ? 60 : 1);
}
