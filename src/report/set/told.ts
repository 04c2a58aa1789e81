import type { Caution } from '../schema.ts';
import type { SetReport } from './schema.ts';

/** Cautions of the plates of a set, in their order, by the plates that they are of; what is the same of several is said once. */
export function toldOfPlates(
  plates: SetReport['plates'],
  severities: readonly Caution['severity'][],
): Caution[] {
  const told = new Map<string, { caution: Caution; names: string[] }>();
  for (const { name, report } of plates)
    for (const caution of report.cautions) {
      if (!severities.includes(caution.severity)) continue;
      const same = JSON.stringify([caution.severity, caution.code, caution.text, caution.cure]);
      const before = told.get(same);
      if (before) before.names.push(name);
      else told.set(same, { caution, names: [name] });
    }
  return [...told.values()].map(({ caution, names }) => {
    const whose = names.length > 1 && names.length === plates.length ? 'all plates' : names.join(', ');
    return { ...caution, text: `${whose}: ${caution.text}` };
  });
}
