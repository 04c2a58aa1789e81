export function loop(
  folder: string,
  kind: 'intaglio' | 'relief',
  isQuiet?: boolean,
): { readonly code: number; readonly wanted: number; readonly is: number }[];
