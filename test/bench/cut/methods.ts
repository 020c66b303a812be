/**
 * Three ways to cut an artwork into panels that stand side by side. Each runs in a process of its own, so that its
 * memory can be told: `node methods.ts <method> <artwork> <panels> <folder> <how many to cut>` prints a line of JSON.
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PDFDocument } from 'pdf-lib';
import type { PanelCut } from '../../../core/cut/cut-request.ts';
import { artworkFromSource } from '../../../core/pdf/document/artwork.ts';
import { cutPanelFiles } from '../../../main/cut/panel-files.ts';
import { openPdfSource, pdfCodecs } from '../../../main/files/pdf-source.ts';
import { StagedFolder } from '../../../main/files/staged-folder.ts';
import { PAGE } from './art-file.ts';

export type Method = 'panelwright' | 'embedding' | 'ghostscript';

export interface Outcome {
  readonly seconds: number;
  /** Of this process; Ghostscript is another. */
  readonly cpuSeconds: number;
  readonly openSeconds: number;
  readonly bytesOut: number;
  readonly peakMB: number;
  /** Panels that were in fact cut; Ghostscript, at a panel after the other, may do fewer. */
  readonly panels: number;
}

/** Overlap of neighbors, points: 25 mm at 1:10. */
const OVERLAP = 7.1;
const MM = 25.4 / 72;

/** Windows in points from the left of the page. */
export function windows(panels: number): { readonly x: number; readonly width: number }[] {
  const drop = PAGE.width / panels;
  return Array.from({ length: panels }, (_, i) => {
    const x = Math.max(0, i * drop - OVERLAP / 2);
    return { x, width: Math.min(PAGE.width, (i + 1) * drop + OVERLAP / 2) - x };
  });
}

const METHODS: Readonly<
  Record<
    Method,
    (
      artwork: string,
      panels: number,
      folder: string,
      cutPanels: number,
    ) => Promise<Pick<Outcome, 'openSeconds' | 'panels'>>
  >
> = {
  async panelwright(path, panels, folder) {
    const started = performance.now();
    const opened = await artworkFromSource(await openPdfSource(path), { codecs: pdfCodecs });
    if (!opened.ok) throw opened.problem;
    const openSeconds = (performance.now() - started) / 1000;
    const staged = await StagedFolder.begin(folder);
    const cut = await cutPanelFiles(
      opened.value,
      '0'.repeat(64),
      windows(panels).map(({ x, width }, i) => {
        const window = { x: x * MM, y: 0, width: width * MM, height: PAGE.height * MM };
        const film = { x: 0, y: 0, width: window.width * 10, height: window.height * 10 };
        const size: PanelCut['size'] = { kind: 'reduction', factor: 10 };
        return {
          label: `LH-${i + 1}`,
          name: `LH-${i + 1}.pdf`,
          cut: {
            page: 1,
            box: 'crop',
            window,
            scale: 10,
            printed: film,
            net: film,
            filmWidthMm: film.width,
            filmHeightMm: film.height,
            size,
            info: { title: `LH-${i + 1}`, created: '2026-11-25', program: 'Panelwright benchmark' },
          },
        };
      }),
      staged,
      { signal: new AbortController().signal, report: () => undefined },
    );
    if (!cut.ok) throw cut.problem;
    await staged.finish();
    return { openSeconds, panels };
  },

  /** pdf-lib's embedPage: each panel holds the whole page and shows a part of it. */
  async embedding(path, panels, folder) {
    const source = await PDFDocument.load(readFileSync(path));
    const page = source.getPage(0);
    for (const [i, { x, width }] of windows(panels).entries()) {
      const panel = await PDFDocument.create();
      const embedded = await panel.embedPage(page);
      panel.addPage([width, PAGE.height]).drawPage(embedded, { x: -x, y: 0 });
      writeFileSync(join(folder, `LH-${i + 1}.pdf`), await panel.save());
    }
    return { openSeconds: 0, panels };
  },

  /** Ghostscript's pdfwrite with a page offset. Pictures stay packed by Flate, at their full resolution. */
  async ghostscript(path, panels, folder, cutPanels) {
    const chosen = windows(panels).slice(0, cutPanels);
    for (const [i, { x, width }] of chosen.entries()) {
      const { status, signal, stderr } = spawnSync('gs', [
        ...['-q', '-dNOPAUSE', '-dBATCH', '-dSAFER', '-sDEVICE=pdfwrite', '-dFIXEDMEDIA'],
        ...[
          '-dAutoFilterColorImages=false',
          '-dColorImageFilter=/FlateEncode',
          '-dDownsampleColorImages=false',
        ],
        ...[`-dDEVICEWIDTHPOINTS=${width}`, `-dDEVICEHEIGHTPOINTS=${PAGE.height}`],
        ...[`-sOutputFile=${join(folder, `LH-${i + 1}.pdf`)}`],
        ...['-c', `<< /PageOffset [${-x} 0] >> setpagedevice`, '-f', path],
      ]);
      if (status !== 0) throw new Error(`Ghostscript: ${signal ?? stderr}`);
    }
    return { openSeconds: 0, panels: chosen.length };
  },
};

if (process.argv[1] === import.meta.filename) {
  const [method, artwork, panels, folder, cutPanels = panels] = process.argv.slice(2) as [
    Method,
    ...[string, string, string],
  ];
  mkdirSync(folder, { recursive: true });
  const started = performance.now();
  const before = process.cpuUsage();
  const done = await METHODS[method](artwork, Number(panels), folder, Number(cutPanels));
  const seconds = (performance.now() - started) / 1000;
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) =>
    name.endsWith('.pdf'),
  );
  const bytesOut = files.reduce((sum, name) => sum + statSync(join(folder, name)).size, 0);
  const { user, system } = process.cpuUsage(before);
  const outcome: Outcome = {
    ...done,
    seconds,
    cpuSeconds: (user + system) / 1e6,
    bytesOut,
    peakMB: process.resourceUsage().maxRSS / 1024,
  };
  console.log(JSON.stringify(outcome));
}
