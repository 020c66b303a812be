import { describe, expect, it } from 'vitest';
import { codesOf, findingOf, GROUND, pageInMm } from './check-support.ts';

const TINT = { dict: '/FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 1 0]', data: '' };
const STATES =
  '/ExtGState << /Op1 << /OP true /op true /OPM 1 >> /Op0 << /OP true /op true /OPM 0 >> /Half << /ca 0.5 >> /Times << /BM /Multiply >> >>';
const SPACES =
  '/ColorSpace << /Red [/Separation /Signal#20Red /DeviceCMYK 30 0 R] /All [/Separation /All /DeviceCMYK 30 0 R] /Four [/DeviceN [/Cyan /Magenta /Yellow /Black] /DeviceCMYK 30 0 R] >>';
const page = (content: string, more: object = {}) =>
  pageInMm(GROUND + content, { resources: `${STATES} ${SPACES}`, objects: { 30: TINT }, ...more });
const rect = '130 70 41 23 re f ';

describe('overprint', () => {
  // ISO 32000-1, 8.6.7: with overprint mode 1 a DeviceCMYK component of 0 leaves its plate alone.
  it('AC8 white that overprint loses warns: no ink in DeviceCMYK with mode 1, no tint of a spot', async () => {
    for (const color of ['/Op1 gs 0 0 0 0 k', '/Op1 gs /Red cs 0 scn', '/Op0 gs /Red cs 0 scn']) {
      const { severity, message, where } = await findingOf(page(`${color} ${rect}`), 'overprint-white');
      expect(severity).toBe('warn');
      expect(message).toContain('one white object set to overprint');
      expect(message).toContain('800 mm from the left and 400 mm from the top');
      expect(where.area!.width).toBeCloseTo(410, 6);
    }
    expect(
      (await findingOf(page(`/Op1 gs 0 0 0 0 K 2 w 130 70 m 200 70 l S`), 'overprint-white')).figure,
    ).toBe(1);
  });

  it('AC8 white that knocks out, and colors that overprint, are no loss', async () => {
    const harmless = [
      '0 0 0 0 k',
      '/Op0 gs 0 0 0 0 k',
      '/Op1 gs 1 g',
      '/Op1 gs 0 0 0 1 k',
      '/Op1 gs /Red cs 0.4 scn',
      '/Op1 gs /All cs 0 scn',
      '/Op1 gs /Four cs 0 0 0 0 scn',
    ];
    for (const color of harmless)
      expect(await codesOf(page(`${color} ${rect}`))).not.toContain('overprint-white');
  });

  it('AC8 overprint is noted where it is on the side', async () => {
    const { severity, message } = await findingOf(page(`/Op1 gs 0 0 0 1 k ${rect}${rect}`), 'overprint');
    expect([severity, message.includes('2 objects set to overprint')]).toEqual(['note', true]);
    expect(await codesOf(page('/Op1 gs 0 0 0 1 k 1 190 9 5 re f'))).not.toContain('overprint');
    expect(await codesOf(page(`0 0 0 1 k ${rect}`))).not.toContain('overprint');
  });
});

describe('layers', () => {
  const layered = (config: string, usage = '') =>
    page(`/OC /T BDC 0 0 0 1 k ${rect} EMC`, {
      resources: '/Properties << /T 40 0 R >>',
      catalog: `/OCProperties << /OCGs [40 0 R 41 0 R] /D << ${config} >> >>`,
      objects: {
        40: `<< /Type /OCG /Name (Template) ${usage} >>`,
        41: '<< /Type /OCG /Name (Artwork) >>',
      },
    });

  it('AC9 objects on layers that are off are noted with the names of the layers', async () => {
    const { severity, message } = await findingOf(layered('/OFF [40 0 R]'), 'layer-off');
    expect(severity).toBe('note');
    expect(message).toContain('one object on layers that are off and will not print: “Template”');
    expect((await findingOf(layered('/BaseState /OFF'), 'layer-off')).message).toContain(
      '“Template” and “Artwork”',
    );
  });

  it('AC9 layers that all show are noted once, and a file without layers says nothing', async () => {
    expect((await findingOf(layered(''), 'layers')).message).toContain(
      '2 layers, and nothing on its pages is hidden',
    );
    expect((await codesOf(page(rect))).filter((code) => code.startsWith('layer'))).toEqual([]);
  });

  it('AC9 a layer that its usage prints otherwise than it shows warns', async () => {
    const shownOnly = layered('', '/Usage << /Print << /PrintState /OFF >> >>');
    const printedOnly = layered('/OFF [40 0 R]', '/Usage << /Print << /PrintState /ON >> >>');
    for (const pdf of [shownOnly, printedOnly]) {
      const { severity, message } = await findingOf(pdf, 'layer-print-state');
      expect([severity, message.includes('“Template”')]).toEqual(['warn', true]);
    }
    const agreed = layered('/OFF [40 0 R]', '/Usage << /Print << /PrintState /OFF >> >>');
    expect(await codesOf(agreed)).not.toContain('layer-print-state');
  });
});

describe('transparency', () => {
  const GROUP = '/Group << /S /Transparency /CS /DeviceCMYK >>';
  const withGroup = (group: string, content: string, more: object = {}) =>
    page(content, { page: `/MediaBox [0 0 1133.86 566.93] ${group}`, ...more });

  it('AC10 transparency on a page that names no blending space warns', async () => {
    for (const content of [`/Half gs ${rect}`, `/Times gs ${rect}`]) {
      for (const group of ['', '/Group << /S /Transparency >>']) {
        expect((await findingOf(withGroup(group, content), 'transparency-no-space')).severity).toBe('warn');
      }
      expect(await codesOf(withGroup(GROUP, content))).not.toContain('transparency-no-space');
    }
    expect(await codesOf(page(rect))).not.toContain('transparency-no-space');
  });

  it('AC10 with the profile of an output intent it is noted; blending inks in light is noted', async () => {
    const intent = {
      catalog:
        '/OutputIntents [<< /S /GTS_PDFX /OutputConditionIdentifier (Coated) /DestOutputProfile 31 0 R >>]',
      objects: { 30: TINT, 31: { dict: '/N 4', data: 'a profile' } },
    };
    expect((await findingOf(page(`/Half gs ${rect}`, intent), 'transparency-no-space')).severity).toBe(
      'note',
    );
    const light = withGroup('/Group << /S /Transparency /CS /DeviceRGB >>', `/Half gs ${rect}`);
    expect((await findingOf(light, 'transparency-light-space')).message).toContain(
      'blends transparency in DeviceRGB',
    );
    expect(await codesOf(withGroup(GROUP, `/Half gs ${rect}`))).not.toContain('transparency-light-space');
  });
});

describe('output intents', () => {
  const intent = (condition: string, profile = '') =>
    `<< /S /GTS_PDFX /OutputConditionIdentifier (${condition}) ${profile} >>`;

  it('AC11 several output intents for PDF/X warn, and a page that is made for another condition', async () => {
    const several = page(rect, { catalog: `/OutputIntents [${intent('Coated')} ${intent('Uncoated')}]` });
    const { severity, message } = await findingOf(several, 'output-intents-several');
    expect([severity, message.includes('Coated and Uncoated')]).toEqual(['warn', true]);
    const torn = page(rect, {
      catalog: `/OutputIntents [${intent('Coated')}]`,
      page: `/MediaBox [0 0 1133.86 566.93] /OutputIntents [${intent('Vinyl')}]`,
    });
    expect((await findingOf(torn, 'output-intents-disagree')).message).toContain(
      'Page 1 is made for Vinyl, the file for Coated',
    );
  });

  it('AC11 one output intent, or one that the page repeats, is in order; one for light is noted', async () => {
    const one = page(rect, {
      catalog: `/OutputIntents [${intent('Coated')} << /S /GTS_PDFA1 /OutputConditionIdentifier (x) >>]`,
      page: `/MediaBox [0 0 1133.86 566.93] /OutputIntents [${intent('Coated')}]`,
    });
    expect((await codesOf(one)).filter((code) => code.startsWith('output-intent'))).toEqual([]);
    const light = page(rect, {
      catalog: `/OutputIntents [${intent('sRGB', '/DestOutputProfile 31 0 R')}]`,
      objects: { 30: TINT, 31: { dict: '/N 3', data: 'a profile' } },
    });
    expect((await findingOf(light, 'output-intent-not-inks')).message).toContain('for 3 components');
  });
});
