import { describe, expect, it } from 'vitest';
import { artworkChecks } from '../../../core/checks/findings/artwork-checks.ts';
import { artworkScan } from '../../../core/checks/scan/artwork-scan.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { artworkPages } from '../../../core/pdf/document/artwork.ts';
import { pdfCodecs } from '../../../main/files/pdf-source.ts';
import { DEMO_JOBS, readDemoJob } from '../../../main/job/demo-jobs.ts';
import { artworkFromBytes } from '../../support/artwork-bytes.ts';
import { demoArt } from '../../support/demo-art.ts';

/** What an honest look at the demo artwork finds; it is drawn to be awkward (assets/demo/README.md). */
const EXPECTED = ['color-rgb-icc', 'image-soft', 'layer-off', 'overprint', 'spots-used'];

describe('the demo artwork', () => {
  for (const name of ['bookmobile', 'trailer'] as const) {
    it(`${name} has notes only, and those that are expected`, async () => {
      const demo = DEMO_JOBS[name];
      const artwork = await artworkFromBytes(await demoArt(name), { codecs: pdfCodecs });
      if (!artwork.ok) throw new Error(artwork.problem.message);
      const pages = artworkPages(artwork.value, demo.box).flatMap((page) => (page.ok ? [page.value] : []));
      const job = await readDemoJob(demo);
      const layouts = jobLayout(job, new Map(pages.map((page) => [page.number, page.visible])));
      const findings = artworkChecks(job, layouts, await artworkScan(artwork.value, demo.box));
      expect(findings.filter(({ severity }) => severity !== 'note')).toEqual([]);
      expect([...new Set(findings.map(({ code }) => code))].sort()).toEqual(EXPECTED);
    }, 120_000);
  }
});
