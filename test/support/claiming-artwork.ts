/** Artwork that claims PDF/X-4 and keeps its rules, and a cut of it. */
import type { PanelCut } from '../../core/cut/cut-request.ts';
import { type RawPage, rawPdf } from './raw-pdf.ts';

const MM = 72 / 25.4;
/** A box whose numbers are given in mm. */
export const boxInMm = (...mm: number[]): string =>
  `[${mm.map((length) => (length * MM).toFixed(4)).join(' ')}]`;

export interface Claiming {
  readonly claim?: string;
  readonly components?: number;
  readonly trapped?: string;
  readonly profile?: string;
}

/** A page of 310 × 170 mm that keeps the rules, unless told otherwise. */
export function claiming(asked: Claiming = {}, more: Partial<RawPage> = {}): Uint8Array {
  const { claim = 'PDF/X-4', components = 4, trapped = '/Trapped /False' } = asked;
  const profile = asked.profile ?? '/DestOutputProfile 23 0 R';
  return rawPdf({
    page: `/MediaBox ${boxInMm(0, 0, 310, 170)} /BleedBox ${boxInMm(5, 5, 305, 165)} /TrimBox ${boxInMm(10, 10, 300, 160)}`,
    catalog: '/OutputIntents [20 0 R] /Metadata 21 0 R /OCProperties << /OCGs [] /D << >> >>',
    content: '0.2 0.4 0 0.1 k 0 0 900 500 re f',
    version: '1.6',
    trailer: '/Info 22 0 R',
    ...more,
    objects: {
      20: `<< /Type /OutputIntent /S /GTS_PDFX /OutputConditionIdentifier (Coated) ${profile} >>`,
      21: {
        dict: '/Type /Metadata /Subtype /XML',
        data: `<rdf:Description><pdfxid:GTS_PDFXVersion>${claim}</pdfxid:GTS_PDFXVersion></rdf:Description>`,
      },
      22: `<< /Title (Old) ${trapped} >>`,
      23: { dict: `/N ${components}`, data: 'profile' },
      ...more.objects,
    },
  });
}

/** Printed 120 × 70 mm at 1:10 on film with a border, with marks. */
export const CLAIMING_CUT: PanelCut = {
  page: 1,
  box: 'trim',
  window: { x: 13, y: 17, width: 120, height: 70 },
  scale: 10,
  printed: { x: 31, y: 23, width: 1200, height: 700 },
  net: { x: 81, y: 73, width: 1090, height: 610 },
  filmWidthMm: 1267,
  filmHeightMm: 751,
  size: { kind: 'true-size' },
  info: { title: 'AC-7 LH-01 <left & "right">', created: '2026-11-25', program: 'Panelwright 0.1.0' },
  marks: {
    layer: 'Panel marks',
    key: 'a line',
    draw: (context) => ({ operators: '0 0 0 1 k 2 2 9 1 re f', resources: context.obj({}) }),
  },
};
