import { expect, test } from 'vitest';
import { LOCAL_RULES, type SafetyTopic, safetyCautions, safetyFor } from '../../src/core/cautions-safety.ts';

const topics: SafetyTopic[] = ['laser', 'fume', 'dust', 'metals', 'acids', 'presses', 'classes'];

test.each(topics)('there is a short word on %s, with its source', (topic) => {
  const found = safetyFor([topic]);
  expect(found.length).toBeGreaterThan(0);
  for (const { text, source } of found) {
    expect(text.length).toBeLessThan(120);
    expect(text).toMatch(/[.]$/);
    expect(source.length).toBeGreaterThan(5);
  }
});

test('topics together keep the order of the list and nothing else', () => {
  expect(safetyFor(topics)).toEqual(safetyCautions);
  expect(safetyFor(['presses', 'laser']).map(({ topic }) => topic)).toEqual([
    'laser',
    'laser',
    'laser',
    'presses',
    'presses',
  ]);
  expect(safetyFor([])).toEqual([]);
});

test('no caution gives leave, and the room’s own rules stand above them', () => {
  for (const text of [LOCAL_RULES, ...safetyCautions.map((caution) => caution.text)]) {
    expect(text).not.toMatch(/\b(allowed|permitted|permission|safe|safely|approved|fine|may be)\b/i);
  }
  expect(LOCAL_RULES).toMatch(/your room come first/);
});
