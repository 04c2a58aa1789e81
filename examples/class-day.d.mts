export function classDay(
  folder: string,
  isQuiet?: boolean,
): { readonly batch: unknown; readonly gang: unknown; readonly slots: unknown };
