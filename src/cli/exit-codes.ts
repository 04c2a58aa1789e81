import { EtchError, type FaultKind } from '../core/errors.ts';

/** Exit codes; scripts depend on them. */
export const EXIT = {
  done: 0,
  usage: 2,
  input: 3,
  output: 4,
  refused: 5,
  someFailed: 6,
  ourFault: 70,
  interrupted: 130,
} as const;

const BY_KIND: Readonly<Record<FaultKind, number>> = {
  usage: EXIT.usage,
  input: EXIT.input,
  output: EXIT.output,
  refused: EXIT.refused,
  interrupted: EXIT.interrupted,
};

/** The exit code that an error stands for; what is not one of ours is our fault. */
export const exitCodeOf = (error: unknown): number =>
  error instanceof EtchError ? BY_KIND[error.kind] : EXIT.ourFault;
