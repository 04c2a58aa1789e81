/** What is written is read back and held against the plate in memory, before anything is put in place. */
import { closeSync, openSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { planPlate } from '../../src/job/plan.ts';
import { formats } from '../../src/run/formats.ts';
import { NOTHING_BUILT } from '../../src/run/plate/build-screen.ts';
import { verifyFile } from '../../src/run/plate/plate-file.ts';
import { openPool, type Pool } from '../../src/run/pool.ts';
import { freshPlace } from '../cli/run-cli.ts';
import { drawn, write } from '../io/formats/plates.ts';
import { wholeJob } from '../job/whole.ts';

const place = freshPlace();
const { job, making } = wholeJob({
  process: 'intaglio',
  screen: 'errordiffusion',
  widthMm: '2',
  heightMm: '2',
});
const plan = planPlate(job, making, { widthPx: 10, heightPx: 4, ppiX: null, ppiY: null });
const plate = drawn(['1010110011', '0000000000', '1111111110', '0110011001'], { bandRows: 2 });
const differs = expect.objectContaining({ kind: 'output', code: 'readback-differs' });

describe.each(Object.values(formats))('$kind', (format) => {
  let bytes: Uint8Array;
  let pool: Pool;

  beforeEach(async () => {
    bytes = await write(format, plate);
    pool = openPool(1);
    pool.add({
      id: 5,
      draws: 'bits',
      head: plate.head,
      bitmap: plate.etch,
      plan,
      built: NOTHING_BUILT,
      formats: [format.kind as keyof typeof formats],
      orientation: 1,
      spot: { spotMm: 0.1, pitchMm: 0.0508, beam: 'pulse' },
      holdLimits: {},
      // verifying needs neither the picture nor what its codes mean
      scratch: { fd: -1, widthPx: 10, heightPx: 4, bytesPerSample: 1, offsetBytes: 64 },
      codes: { depthBits: 8, blackCode: 0, whiteCode: 255 },
    });
  });

  async function verified(head = plate.head, keep = bytes.length) {
    const path = join(place.path, 'a');
    writeFileSync(path, bytes.subarray(0, keep));
    const fd = openSync(path, 'r+');
    try {
      return await verifyFile(format.kind as keyof typeof formats, fd, 'a', 5, head, pool);
    } finally {
      closeSync(fd);
    }
  }

  test('what was written passes, and says which resolution it states', async () => {
    const { x, y } = await verified();
    expect(x).toBeCloseTo(500, 1);
    expect(y).toBeCloseTo(500, 1);
  });

  test('another size, another resolution, a cut-off end and other bits are told', async () => {
    await expect(verified({ ...plate.head, widthPx: 9 })).rejects.toEqual(differs);
    await expect(verified({ ...plate.head, heightPx: 5 })).rejects.toEqual(differs);
    await expect(verified({ ...plate.head, dpi: 300 })).rejects.toEqual(differs);
    await expect(verified(plate.head, bytes.length - 9)).rejects.toEqual(differs);
    plate.etch.data[0]! ^= 0x80;
    try {
      await expect(verified()).rejects.toThrow('1 rows differ');
    } finally {
      plate.etch.data[0]! ^= 0x80;
    }
  });

  test('a plate fired the wrong way round is told', async () => {
    bytes = await write(format, { ...plate, head: { ...plate.head, fire: 'light' } });
    await expect(verified()).rejects.toThrow('4 rows differ');
  });
});
