/**
 * Files written again without any change: by other programs and libraries, packed, ordered and numbered differently.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { PDFDocument } from 'pdf-lib';
import { runTool } from '../../support/tools.ts';

const GHOSTSCRIPT = [
  ...['-q', '-dNOPAUSE', '-dBATCH', '-dSAFER', '-sDEVICE=pdfwrite', '-dCompatibilityLevel=1.7'],
  ...['-dAutoFilterColorImages=false', '-dAutoFilterGrayImages=false', '-dColorImageFilter=/FlateEncode'],
  ...['-dGrayImageFilter=/FlateEncode', '-dDownsampleColorImages=false', '-dDownsampleGrayImages=false'],
  ...['-dDownsampleMonoImages=false', '-dPassThroughJPEGImages=true', '-dPassThroughJPXImages=true'],
  ...['-sColorConversionStrategy=LeaveColorUnchanged', '-dSubsetFonts=true', '-dEmbedAllFonts=true'],
];

export const REWRITES: Readonly<Record<string, (from: string, to: string) => Promise<void> | void>> = {
  linearized: (from, to) => void runTool('qpdf', ['--linearize', '--warning-exit-0', from, to]),
  'object streams': (from, to) =>
    void runTool('qpdf', ['--object-streams=generate', '--recompress-flate', '--warning-exit-0', from, to]),
  unpacked: (from, to) =>
    void runTool('qpdf', [
      '--stream-data=uncompress',
      '--object-streams=disable',
      '--warning-exit-0',
      from,
      to,
    ]),
  cleaned: (from, to) => void runTool('mutool', ['clean', '-gggg', '-z', from, to]),
  'content written anew': (from, to) => void runTool('mutool', ['clean', '-gg', '-s', '-z', from, to]),
  'fonts subset anew': (from, to) => void runTool('gs', [...GHOSTSCRIPT, `-sOutputFile=${to}`, from]),
  'another library': async (from, to) => {
    const document = await PDFDocument.load(readFileSync(from), { updateMetadata: true });
    writeFileSync(to, await document.save({ updateFieldAppearances: false, addDefaultPage: false }));
  },
};
