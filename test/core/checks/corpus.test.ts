/** Real files, where a folder of them is given: each is looked through, or said to be unreadable. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { artworkChecks } from '../../../core/checks/findings/artwork-checks.ts';
import { artworkScan } from '../../../core/checks/scan/artwork-scan.ts';
import { ArtworkScan } from '../../../core/checks/scan/schema.ts';
import { findingKey } from '../../../core/findings/finding.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { artworkPages } from '../../../core/pdf/document/artwork.ts';
import { pdfCodecs } from '../../../main/files/pdf-source.ts';
import { artworkFromBytes } from '../../support/artwork-bytes.ts';
import { jobSample, panel, sideSample } from '../job/sample-job.ts';

const corpus = process.env.PANELWRIGHT_CORPUS;
const files = corpus === undefined ? [] : readdirSync(corpus).filter((name) => name.endsWith('.pdf'));
/** A scan of one page of an ordinary file takes a second at most; this is for a machine that is busy. */
const TIME_LIMIT_MS = 60_000;

describe.skipIf(files.length === 0)('artwork checks on real files', () => {
  it.each(files)(
    '%s',
    async (name) => {
      const artwork = await artworkFromBytes(readFileSync(join(corpus!, name)), { codecs: pdfCodecs });
      if (!artwork.ok) {
        expect(artwork.problem.remedy).not.toBe('');
        return;
      }
      const scan = await artworkScan(artwork.value, 'crop');
      expect(ArtworkScan.parse(JSON.parse(JSON.stringify(scan)))).toEqual(scan);
      expect(scan.pages.length + scan.problems.length).toBe(artwork.value.pages.length);
      const pages = artworkPages(artwork.value, 'crop').flatMap((page) => (page.ok ? [page.value] : []));
      const sides = pages.slice(0, 20).map(({ number, widthMm, heightMm }) =>
        sideSample({
          id: `s${number}`,
          code: `S${number}`,
          page: number,
          artworkRect: { xMm: 0, yMm: 0, widthMm, heightMm },
          layout: panel(`p${number}`),
        }),
      );
      const job = jobSample({ sides });
      const findings = artworkChecks(job, jobLayout(job), scan);
      const keys = findings.map(findingKey);
      expect(new Set(keys).size).toBe(keys.length);
      for (const { message, remedy } of findings) {
        expect(message + remedy).not.toMatch(/NaN|undefined|Infinity|\s-\d|\d\.\d{4,}/);
      }
    },
    TIME_LIMIT_MS,
  );
});
