import { jobSettings } from '../../job/settings.ts';
import { givenOf } from '../given.ts';
import { gangSettings } from './settings.ts';
import type { GangRequest } from './settle.ts';

const outlineKeys = jobSettings.map(({ key }) => key).filter((key) => key.startsWith('outline'));

/** What is asked of a gang beside its plates: all that its sheets and their outlines hang on, by setting. */
export const gangAsked = ({
  settings,
  depth,
  outline,
}: Pick<GangRequest, 'settings' | 'depth' | 'outline'>): Record<string, unknown> => ({
  ...givenOf(settings, gangSettings.keyof().options),
  ...givenOf(depth, ['passes', 'depthMm']),
  ...givenOf(outline, outlineKeys),
});
