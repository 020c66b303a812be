/**
 * Cuts small panels whose streams are packed in every way there is: `node small-panels.ts` prints, as JSON, the SHA-256
 * of each. Nothing in them comes from the machine.
 */
import { deflateSync } from 'node:zlib';
import { cutPanels } from '../../core/cut/cut.ts';
import { panelCutFromLayout } from '../../core/cut/panel-cut.ts';
import { fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { MemoryOutput } from '../../core/pdf/write/memory-output.ts';
import { cutTools } from '../../main/cut/panel-files.ts';
import { sheetFontFiles } from '../../main/files/fonts.ts';
import { pdfCodecs } from '../../main/files/pdf-source.ts';
import { sha256Hex } from '../../main/files/sha256.ts';
import { artworkFromBytes } from './artwork-bytes.ts';
import { rawPdf } from './raw-pdf.ts';
import { smallJob } from './small-job.ts';

const COLUMNS = 1600;
const ROWS = 700;
const SAMPLES = COLUMNS * ROWS * 3;
const MM = 72 / 25.4;

/** A linear congruential generator: the same on every machine. */
function grain(): Uint8Array {
  let state = 7;
  return Uint8Array.from({ length: SAMPLES }, () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return 90 + (state >>> 25);
  });
}

const PICTURES: Readonly<Record<string, () => Uint8Array>> = {
  // Nothing repeats: codes alone.
  grain,
  // Steps and tiles: the quick level, and the thorough one.
  steps: () => Uint8Array.from({ length: SAMPLES }, (_, i) => (i >> 9) & 255),
  tiles: () => Uint8Array.from({ length: SAMPLES }, (_, i) => ((i % 4801) * 7 + (i % 13)) & 255),
  turned: () => Uint8Array.from({ length: SAMPLES }, (_, i) => ((i % 4801) * 3 + (i >> 11)) & 255),
};

/** Where each picture lies; one is turned a little, so that its sides have lengths that only roots give. */
const PLACES: Readonly<Record<string, string>> = { turned: '783 71 -43 318 60 7' };
const UPRIGHT = '800 0 0 330 20 20';

function artwork(samples: Uint8Array, place: string): Uint8Array {
  const marks = Array.from(
    { length: 3000 },
    (_, i) => `0.${i % 10} 0.3 0 0 k ${(i * 37) % 900} ${(i * 91) % 390} ${7 + (i % 11)} 5 re f`,
  );
  return rawPdf({
    page: `/MediaBox [0 0 ${(320 * MM).toFixed(3)} ${(140 * MM).toFixed(3)}]`,
    resources: '/XObject << /Photo 20 0 R >>',
    content: `q ${place} cm /Photo Do Q\n${marks.join('\n')}`,
    objects: {
      20: {
        dict: `/Type /XObject /Subtype /Image /Width ${COLUMNS} /Height ${ROWS} /ColorSpace /DeviceRGB /BitsPerComponent 8`,
        data: samples,
      },
    },
  });
}

/** SHA-256 of each panel, by what fills its picture and its label. */
async function smallPanelHashes(): Promise<Record<string, string>> {
  const fonts = fontLibraryFromFiles(sheetFontFiles());
  const hashes: Record<string, string> = {};
  for (const [name, samples] of Object.entries(PICTURES)) {
    const opened = await artworkFromBytes(artwork(samples(), PLACES[name] ?? UPRIGHT), { codecs: pdfCodecs });
    if (!opened.ok) throw new Error(opened.problem.message);
    const job = smallJob();
    const cuts = jobLayout(job).flatMap((layout) =>
      layout.panels.map((panel) =>
        panelCutFromLayout(job, layout, panel, { program: 'Panelwright test', shown: '5f3a90c1', fonts }),
      ),
    );
    const outputs = cuts.map(() => new MemoryOutput());
    const tools = cutTools('0'.repeat(64), { signal: new AbortController().signal, report: () => undefined });
    const done = await cutPanels(opened.value, cuts, outputs, tools);
    if (!done.ok) throw new Error(done.problem.message);
    for (const [i, output] of outputs.entries()) {
      hashes[`${name} ${cuts[i]!.info.title}`] = sha256Hex(output.bytes());
    }
  }
  return hashes;
}

if (process.argv[1] === import.meta.filename) {
  let isRuntimesOwnRefused = false;
  try {
    deflateSync(new Uint8Array(1));
  } catch {
    isRuntimesOwnRefused = true;
  }
  const isMathInexact = Math.hypot(3, 4) !== 5;
  console.log(JSON.stringify({ isRuntimesOwnRefused, isMathInexact, hashes: await smallPanelHashes() }));
}
