/** A tone plate is nowhere whole, so a written file is held against the checksums of its bands. */
import { closeSync, openSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { crc32 } from 'node:zlib';
import { beforeEach, describe, expect, test } from 'vitest';
import { planPlate } from '../../src/job/plan.ts';
import { toneStoreOf } from '../../src/run/formats.ts';
import { hashOfFile, verifyToneFile } from '../../src/run/plate/plate-file.ts';
import { openPool, type Pool } from '../../src/run/pool.ts';
import { freshPlace } from '../cli/run-cli.ts';
import { toned, writeTone } from '../io/formats/tones.ts';
import { wholeJob } from '../job/whole.ts';
import { sha256 } from './judges.ts';

const place = freshPlace();
const rows = Array.from({ length: 5 }, (_, y) =>
  Array.from({ length: 9 }, (_, x) => (37 * x + 81 * y) % 256),
);

const { job, making } = wholeJob({ process: 'relief', screen: 'none', widthMm: '2', heightMm: '2' });
const plan = planPlate(job, making, {
  widthPx: 9,
  heightPx: 5,
  ppiX: null,
  ppiY: null,
});

describe.each(['png', 'tiff'] as const)('%s', (kind) => {
  describe.each(['dark', 'light'] as const)('fired on %s', (fire) => {
    const plate = toned(rows, { bandRows: 2, fire });
    const crcs = [0, 2, 4].map((row) => crc32(plate.etch.subarray(row * 9, (row + 2) * 9)));
    let bytes: Uint8Array;
    let pool: Pool;

    beforeEach(() => {
      bytes = writeTone(toneStoreOf(kind), plate);
      pool = openPool(1);
      pool.add({
        id: 3,
        draws: 'tone',
        head: plate.head,
        plan,
        formats: [kind],
        orientation: 1,
        // verifying needs neither the picture nor what its codes mean
        scratch: { fd: -1, widthPx: 9, heightPx: 5, bytesPerSample: 1, offsetBytes: 64 },
        codes: { depthBits: 8, blackCode: 0, whiteCode: 255 },
      });
    });

    /** Verifies the file after a change on the disk. */
    async function verified(head = plate.head, sums: readonly number[] = crcs, damage?: number) {
      const path = join(place.path, 'a');
      writeFileSync(path, bytes);
      const fd = openSync(path, 'r+');
      try {
        if (damage !== undefined) writeSync(fd, Uint8Array.of(bytes[damage]! ^ 0x10), 0, 1, damage);
        await verifyToneFile(kind, fd, 'a', 3, head, sums, pool);
        return hashOfFile(fd);
      } finally {
        closeSync(fd);
      }
    }
    const differs = expect.objectContaining({ kind: 'output', code: 'readback-differs' });

    test('what was written passes, and its hash is that of the file', async () => {
      expect(await verified()).toEqual({ bytes: bytes.length, sha256: sha256(bytes) });
    });

    test('a changed byte, a wrong band, other sizes and other bands are told', async () => {
      await expect(verified(plate.head, crcs, bytes.length - 20)).rejects.toEqual(differs);
      const [first, second, third] = crcs as [number, number, number];
      await expect(verified(plate.head, [first, second ^ 1, third])).rejects.toThrow('2 rows differ');
      await expect(verified(plate.head, [first, second])).rejects.toThrow('3 bands, not 2');
      await expect(verified({ ...plate.head, widthPx: 8 })).rejects.toThrow('9 × 5 px, not 8 × 5');
      await expect(verified({ ...plate.head, dpi: 300 })).rejects.toEqual(differs);
      await expect(verified({ ...plate.head, heightPx: 6 })).rejects.toEqual(differs);
    });

    test('a file fired the wrong way round is told', async () => {
      bytes = writeTone(toneStoreOf(kind), {
        ...plate,
        head: { ...plate.head, fire: fire === 'dark' ? 'light' : 'dark' },
      });
      await expect(verified()).rejects.toThrow('5 rows differ');
    });
  });
});
