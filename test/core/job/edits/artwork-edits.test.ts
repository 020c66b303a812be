import { describe, expect, it } from 'vitest';
import { artworkBoxSet, artworkSet } from '../../../../core/job/edits/edits.ts';
import type { ArtworkReference } from '../../../../core/job/schema.ts';
import { smallJob } from '../../../support/small-job.ts';

const reference: ArtworkReference = {
  fileName: 'van.pdf',
  sha256: '4f'.repeat(32),
  sizeBytes: 71_003,
  box: 'trim',
};

describe('the artwork of a job', () => {
  it('is another file, with sides where they were', () => {
    const before = smallJob();
    const after = artworkSet(before, { reference });
    expect(after).toMatchObject({ ok: true, value: { artwork: reference } });
    expect(after.ok && after.value.sides).toBe(before.sides);
  });

  it('is measured from another box without moving a side on it', () => {
    const job = smallJob({ artwork: reference });
    const [side] = job.sides;
    // The media box begins 33 mm left of the trim box and 21 mm above it.
    const corners = new Map([[1, { x: -33, y: -21 }]]);
    const after = artworkBoxSet(job, { box: 'media', corners });
    expect(after).toMatchObject({
      ok: true,
      value: {
        artwork: { box: 'media' },
        sides: [{ artworkRect: { ...side!.artworkRect, xMm: 5 + 33, yMm: 5 + 21 } }],
      },
    });
  });

  it('leaves sides of other pages alone, and needs a file', () => {
    const job = smallJob({ artwork: reference });
    const after = artworkBoxSet(job, { box: 'crop', corners: new Map([[2, { x: 7, y: 9 }]]) });
    expect(after.ok && after.value.sides[0]).toBe(job.sides[0]);
    expect(artworkBoxSet(smallJob(), { box: 'crop', corners: new Map() })).toMatchObject({
      ok: false,
      problem: { code: 'artwork-none' },
    });
  });
});
