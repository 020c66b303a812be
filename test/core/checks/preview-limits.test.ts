import { describe, expect, it } from 'vitest';
import { fileLimits, previewLimits } from '../../../core/checks/preview-limits.ts';
import { GROUND, pageInMm, scanOf } from './check-support.ts';

const TINT = { dict: '/FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 1 0]', data: '' };
const RESOURCES =
  '/ExtGState << /Op1 << /OP true /op true /OPM 1 >> /Times << /BM /Multiply >> /Dark << /BM /Darken >> >> ' +
  '/ColorSpace << /Red [/Separation /Signal#20Red /DeviceCMYK 30 0 R] >>';
const rect = '130 70 41 23 re f ';

async function limitsOf(content: string, more: object = {}) {
  const pdf = pageInMm(GROUND + content, { resources: RESOURCES, objects: { 30: TINT }, ...more });
  const scan = await scanOf(pdf);
  return previewLimits(scan.pages[0]!, scan.document).map(({ text }) => text);
}

describe('what the preview cannot show', () => {
  it('is nothing on a page that it draws as it prints', async () => {
    expect(await limitsOf(`0 0.3 0.9 0 k ${rect}`)).toEqual([]);
  });

  it('tells overprint that knocks out from white that vanishes', async () => {
    expect(await limitsOf(`/Op1 gs 0 0 0 0 k ${rect} 0 0 0 1 k ${rect}${rect}`)).toEqual([
      'One white object set to overprint: seen here, gone in print.',
      '2 objects set to overprint: drawn here as if they knocked out.',
    ]);
  });

  it('names blend modes, unless the page itself blends in RGB', async () => {
    const content = `q /Times gs 0 1 0 0 k ${rect}${rect} Q q /Dark gs 0 1 0 0 k ${rect} Q`;
    const said = '3 objects blended by Multiply and Darken: mixed in RGB here, in the inks in print.';
    expect(await limitsOf(content)).toEqual([said]);
    const k = 72 / 25.4;
    const page = (space: string) => ({
      page: `/MediaBox [0 0 ${400 * k} ${200 * k}] /Group << /S /Transparency /CS /${space} >>`,
    });
    expect(await limitsOf(content, page('DeviceCMYK'))).toEqual([said]);
    expect(await limitsOf(content, page('DeviceRGB'))).toEqual([]);
  });

  it('names spot inks and layers that print otherwise', async () => {
    expect(await limitsOf(`/Red cs 0.4 scn ${rect}`)).toEqual([
      'Spot ink Signal Red: shown by the color that stands in for it.',
    ]);
    const layer = {
      catalog:
        '/OCProperties << /OCGs [40 0 R] /D << /ON [40 0 R] /AS [<< /Event /Print /Category [/Print] /OCGs [40 0 R] >>] >> >>',
      objects: {
        30: TINT,
        40: '<< /Type /OCG /Name (Notes) /Usage << /Print << /PrintState /OFF >> >> >>',
      },
    };
    expect(await limitsOf(`0 0.3 0.9 0 k ${rect}`, layer)).toEqual([
      'Layer “Notes”: set to print otherwise than seen here.',
    ]);
  });
});

describe('what the preview cannot show of a file', () => {
  it('is the fineness of pictures of one that it cannot hold', () => {
    expect(fileLimits({ sizeBytes: 1_200_000_000 })).toEqual([]);
    expect(fileLimits({ sizeBytes: 1_300_000_000 }).map(({ text }) => text)).toEqual([
      'The file is too large for the preview: pictures are reduced to about 4,096 pixels along the page here.',
    ]);
  });
});
