import type { KnownWorkshop } from '../../job/making.ts';
import type { Remade } from '../../report/remake-schema.ts';
import type { Caution } from '../../report/schema.ts';
import type { Draft } from '../../store/notebook/entry.ts';
import type { RunContext } from '../plate/context.ts';
import type { RunFacts } from '../records/drafts.ts';
import type { RunSettings } from '../settings.ts';

/** How something is made again; what is left out is as the record has it. */
export interface Again {
  /** Picture or plate file, or a folder to look in. */
  readonly input: string | undefined;
  readonly outlineMask: string | undefined;
  readonly name: string | undefined;
  readonly format: RunSettings['format'] | undefined;
  readonly tiff: RunSettings['tiff'] | undefined;
  /** Null to prove the bits and write nothing. */
  readonly folder: string | null;
  readonly overwrite: boolean;
  /** Files that must never be written over, besides the inputs. */
  readonly protect: readonly string[];
  /** Whether other bits are let through. */
  readonly anyway: boolean;
  readonly workshop: KnownWorkshop | null;
  /** A notebook that may know more; null for none. */
  readonly notebook: string | null;
}

/** What came of it. */
export interface MadeAgain {
  readonly remade: Omit<Remade, 'schema' | 'version' | 'record'>;
  /** True when a caution forbids it; then nothing was written. */
  readonly refused: boolean;
  readonly cautions: readonly Caution[];
  /** What goes into the notebook. */
  readonly entries: readonly {
    readonly name: string;
    readonly picture: string | null;
    readonly draft: (run: RunFacts) => Draft;
  }[];
}

/** A record that was read, and can be made again. */
export interface Remaking {
  /** How people know the record: the name of a report, the number of an entry. */
  readonly label: string;
  /** Throws an EtchError where something of it is not to be found, or not known here. */
  make(again: Again, context: RunContext): Promise<MadeAgain>;
}
