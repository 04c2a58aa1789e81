import { MessageChannel, receiveMessageOnPort } from 'node:worker_threads';
import { expect, test } from 'vitest';
import { inSharedMemory } from '../../src/run/shared.ts';

const data = {
  tables: { tile: Uint16Array.of(1, 65535), rows: [Float64Array.of(0.1, -2), Int8Array.of(-3)] },
  none: null,
  words: { kind: 'grain', of: 3 },
  part: Uint8Array.of(9, 8, 7).subarray(1),
};

test('what is shared is the same', () => {
  expect(inSharedMemory(data)).toEqual(data);
});

test('a thread sees what stands in the tables, not what stood there when they were sent', () => {
  const { port1, port2 } = new MessageChannel();
  const shared = inSharedMemory(data);
  port1.postMessage(shared);
  shared.tables.tile[0] = 7;
  shared.part[1] = 5;
  const { message } = receiveMessageOnPort(port2) as { message: typeof data };
  port1.close();
  expect([...message.tables.tile, ...message.part]).toEqual([7, 65535, 8, 5]);
  expect(data.tables.tile[0]).toBe(1);
});
