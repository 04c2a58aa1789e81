import type { AnySeparation } from '../../core/separations/contract.ts';

/** Names of inks that are looked for in the picture, in printing order: of one block those of its stages. */
export const foundNames = ({ oneBlock }: AnySeparation, count: number): string[] =>
  Array.from({ length: count }, (_, index) => `${oneBlock ? 'stage' : 'ink'}-${index + 1}`);
