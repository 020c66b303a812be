import { deflateSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { artworkChecks } from '../../../core/checks/findings/artwork-checks.ts';
import { jobFindings } from '../../../core/checks/findings/job-findings.ts';
import { pageRemarks } from '../../../core/checks/page-remarks.ts';
import { ArtworkScan } from '../../../core/checks/scan/schema.ts';
import { findingKey } from '../../../core/findings/finding.ts';
import { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { artworkPages } from '../../../core/pdf/document/artwork.ts';
import { DEFAULT_ARTWORK_LIMITS } from '../../../core/shop/artwork-limits.ts';
import { pdfCodecs } from '../../../main/files/pdf-source.ts';
import { artworkFromBytes } from '../../support/artwork-bytes.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { jobSample } from '../job/sample-job.ts';
import { checksOf, codesOf, findingOf, GROUND, jobOnPage, pageInMm, scanOf } from './check-support.ts';

const MEDIA = '/MediaBox [0 0 1133.86 566.93]';
/** 30 mm inside the page: 85.04 pt. */
const TRIM = '/TrimBox [85.04 85.04 1048.82 481.89]';
const boxes = (stated: string) => pageInMm(GROUND, { page: `${MEDIA} ${stated}` });

describe('page boxes', () => {
  it('AC16 a finished size that is not the box in use is noted', async () => {
    const { severity, message } = await findingOf(boxes(TRIM), 'page-box-choice');
    expect(severity).toBe('note');
    expect(message).toContain(
      'measured from the MediaBox, but the page also states a TrimBox of 340 mm × 140 mm',
    );
    expect(await codesOf(boxes(TRIM), { box: 'trim' })).not.toContain('page-box-choice');
    expect(await codesOf(boxes(''))).not.toContain('page-box-choice');
    expect(await codesOf(boxes(`/TrimBox [0 0 1133.9 566.9]`))).not.toContain('page-box-choice');
  });

  it('AC16 two finished sizes, and art that runs on without a BleedBox, are noted', async () => {
    expect(await codesOf(boxes(`${TRIM} /ArtBox [90 90 900 400]`))).toContain('page-box-two');
    expect(await codesOf(boxes(TRIM))).not.toContain('page-box-two');
    const same = TRIM.replace('Trim', 'Bleed');
    const inside = 'q 1 0 0 1 30 30 cm 0.2 0.1 0.4 0 k 0 0 340 140 re f Q';
    const { message } = await findingOf(boxes(`${TRIM} ${same}`), 'page-box-no-bleed');
    expect(message).toContain('a BleedBox that is the TrimBox, although its art extends up to 30 mm beyond');
    expect(await codesOf(boxes(`${TRIM} /BleedBox [60 60 1070 500]`))).not.toContain('page-box-no-bleed');
    expect(await codesOf(pageInMm(inside, { page: `${MEDIA} ${TRIM} ${same}` }))).not.toContain(
      'page-box-no-bleed',
    );
  });

  it('AC16 a side that leaves the finished size is noted by edge and amount', async () => {
    // From the corner of the TrimBox the page is 340 × 140 mm.
    const at = {
      box: 'trim' as const,
      side: { artworkRect: { xMm: -7, yMm: 3, widthMm: 340, heightMm: 140 } },
    };
    const { message } = await findingOf(boxes(TRIM), 'side-outside-trim', at);
    expect(message).toContain(
      'the TrimBox of page 1, its finished size: 3 mm at the bottom and 7 mm at the left',
    );
    const inside = {
      box: 'trim' as const,
      side: { artworkRect: { xMm: 0, yMm: 0, widthMm: 340, heightMm: 140 } },
    };
    expect(await codesOf(boxes(TRIM), inside)).not.toContain('side-outside-trim');
  });

  it('AC16 a page that is turned or in larger units is noted', async () => {
    const turned = rawPdf({
      page: `/MediaBox [0 0 566.93 1133.86] /Rotate 270`,
      content: '0 0 900 1200 re f',
    });
    expect((await findingOf(turned, 'page-rotated')).message).toContain('turned by 270°');
    const large = rawPdf({
      page: '/MediaBox [0 0 113.386 56.693] /UserUnit 10',
      content: '0 0 200 200 re f',
    });
    expect((await findingOf(large, 'page-user-unit')).message).toContain('units 10 times as large');
    const codes = await codesOf(boxes(''));
    expect(codes).not.toContain('page-rotated');
    expect(codes).not.toContain('page-user-unit');
  });
});

describe('what pages say', () => {
  const remarksOf = async (pdf: Uint8Array) => {
    const artwork = await artworkFromBytes(pdf, { codecs: pdfCodecs });
    if (!artwork.ok) throw new Error(artwork.problem.message);
    const pages = artworkPages(artwork.value, 'media').flatMap((page) => (page.ok ? [page.value] : []));
    return pageRemarks({ pages, pageProblems: new Map() });
  };

  it('AC18 blank pages stop; comments, repairs, missing sizes and boxes outside the page warn', async () => {
    const said = async (pdf: Uint8Array) =>
      (await remarksOf(pdf)).map(({ code, severity }) => `${code} ${severity}`);
    expect(await said(pageInMm(GROUND))).toEqual([]);
    expect(await said(rawPdf({ page: MEDIA }))).toEqual(['page-blank stop']);
    expect(await said(pageInMm(GROUND, { page: `${MEDIA} /Annots [<< /Subtype /Text >>]` }))).toEqual([
      'page-annotations warn',
    ]);
    expect(await said(rawPdf({ content: '0 0 9 9 re f' }))).toEqual(['page-no-media-box warn']);
    expect(await said(pageInMm(GROUND, { page: `${MEDIA} /ArtBox [2000 0 2100 90]` }))).toEqual([
      'page-box-outside warn',
    ]);
    expect(await said(pageInMm(`q ${GROUND}`))).toEqual(['page-unbalanced warn']);
    const damaged = Buffer.from(pageInMm(GROUND))
      .toString('latin1')
      .replace(/startxref\n\d+/, 'startxref\n7');
    expect(await said(Buffer.from(damaged, 'latin1'))).toEqual(['artwork-repaired warn']);
  });

  it('AC18 drawing that ends before its data do warns: its checksum (RFC 1950) is missing or another', async () => {
    const drawing = Buffer.from(`${GROUND}${'0.1 0.2 0.3 0 k 3 4 50 60 re f\n'.repeat(40)}`);
    const packed = deflateSync(drawing);
    const said = async (data: Uint8Array) =>
      (
        await remarksOf(
          rawPdf({ page: MEDIA, content: '', objects: { 5: { dict: '/Filter /FlateDecode', data } } }),
        )
      ).map(({ code, severity }) => `${code} ${severity}`);
    expect(await said(packed)).toEqual([]);
    expect(await said(Buffer.concat([packed, Buffer.from('\r\n')]))).toEqual([]);
    expect(await said(packed.subarray(0, packed.length - 9))).toEqual(['page-content-cut-off warn']);
    const other = Buffer.from(packed);
    other[other.length - 2]! ^= 0x55;
    expect(await said(other)).toEqual(['page-content-cut-off warn']);
  });

  it('AC18 pages without a side, and problems of theirs, are left out', () => {
    const problem = { code: 'page-box-empty', message: 'Page 3 has no size.', remedy: 'Export it again.' };
    const remarks = pageRemarks({ pages: [], pageProblems: new Map([[3, problem]]) });
    const job = jobSample();
    const ofPage = (page: number) => {
      const onPage: Job = { ...job, sides: job.sides.map((side) => ({ ...side, page })) };
      const artwork = { sha256: job.artwork!.sha256, pages: new Map(), remarks };
      return jobFindings({ job: onPage, layouts: jobLayout(onPage), artwork });
    };
    expect(ofPage(3)).toContainEqual({ ...problem, severity: 'stop', where: { page: 3 } });
    expect(ofPage(2).map(({ code }) => code)).not.toContain('page-box-empty');
  });

  it('AC18 what could not be looked through warns', async () => {
    const pdf = pageInMm(`${GROUND}/Fm Do`, {
      resources: '/XObject << /Fm 20 0 R >>',
      objects: { 20: { dict: '/Type /XObject /Subtype /Form /BBox [0 0 9 9] /Filter /Nonsense', data: 'x' } },
    });
    expect((await findingOf(pdf, 'page-parts-unreadable')).message).toContain('one part that cannot be read');
    const scan = {
      ...(await scanOf(pageInMm(GROUND))),
      problems: [{ page: 1, code: 'pdf-too-deep', message: 'The page nests.', remedy: 'x' }],
    };
    const job = jobOnPage();
    const [found] = artworkChecks(job, jobLayout(job), scan).filter(
      ({ code }) => code === 'page-not-checked',
    );
    expect(found!.message).toBe('Page 1 of the artwork could not be checked (The page nests).');
  });
});

describe('limits and the scan as data', () => {
  const rgb = pageInMm(`${GROUND}1 0 0 rg 100 90 33 21 re f`);

  it('a shop turns findings up, down or off by their code', async () => {
    const severities = (given: Record<string, 'stop' | 'warn' | 'note' | 'off'>) => ({
      job: { artworkLimits: { ...DEFAULT_ARTWORK_LIMITS, severities: given } },
    });
    expect((await findingOf(rgb, 'color-rgb', severities({ 'color-rgb': 'stop' }))).severity).toBe('stop');
    expect((await findingOf(rgb, 'color-rgb', severities({ 'color-rgb': 'note' }))).severity).toBe('note');
    expect(await codesOf(rgb, severities({ 'color-rgb': 'off' }))).not.toContain('color-rgb');
    expect(await codesOf(rgb, severities({ other: 'off' }))).toContain('color-rgb');
  });

  it('a job keeps its limits and the viewing distances of its sides', () => {
    const job = jobOnPage({
      side: { viewingDistanceMm: 8500 },
      job: { artworkLimits: DEFAULT_ARTWORK_LIMITS },
    });
    expect(Job.parse(JSON.parse(JSON.stringify(job)))).toEqual(job);
    expect(Job.safeParse({ ...job, artworkLimits: { ...DEFAULT_ARTWORK_LIMITS, minPpi: -1 } }).success).toBe(
      false,
    );
  });

  it('the scan is plain data: it survives JSON, and says the same a second time', async () => {
    const scan = await scanOf(rgb);
    const back = ArtworkScan.parse(JSON.parse(JSON.stringify(scan)));
    expect(back).toEqual(scan);
    expect(await scanOf(rgb)).toEqual(scan);
    const job = jobOnPage();
    expect(artworkChecks(job, jobLayout(job), back)).toEqual(artworkChecks(job, jobLayout(job), scan));
  });

  it('checks follow the job, and no two findings share a key', async () => {
    const scan = await scanOf(rgb);
    const job = jobOnPage();
    const larger = { ...job, scale: 20 };
    const first = artworkChecks(job, jobLayout(job), scan);
    expect(artworkChecks(larger, jobLayout(larger), scan)).not.toEqual(first);
    expect(artworkChecks(job, jobLayout(job), scan)).toEqual(first);
    const none = { ...job, sides: [] };
    expect(artworkChecks(none, [], scan)).toEqual([]);
    const keys = (await checksOf(rgb)).map(findingKey);
    expect(new Set(keys).size).toBe(keys.length);
  });

  it('protected artwork is noted as such', async () => {
    const scan = await scanOf(rgb);
    const locked = { ...scan, document: { ...scan.document, isEncrypted: true } };
    const job = jobOnPage();
    expect(artworkChecks(job, jobLayout(job), locked).map(({ code }) => code)).toContain('artwork-encrypted');
  });
});
