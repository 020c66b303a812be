/** The typefaces of sheets and marks: open-license fonts, installed as packages. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { FontFiles } from '../../core/drawing/font-library.ts';

const require = createRequire(import.meta.url);
const fontFile = (path: string): Uint8Array => readFileSync(require.resolve(path));

let files: FontFiles | undefined;

/** Noto Sans for Latin, Greek and Cyrillic; DejaVu Sans for scripts and symbols that it lacks. */
export function sheetFontFiles(): FontFiles {
  files ??= {
    regular: fontFile('@expo-google-fonts/noto-sans/400Regular/NotoSans_400Regular.ttf'),
    bold: fontFile('@expo-google-fonts/noto-sans/700Bold/NotoSans_700Bold.ttf'),
    fallbackRegular: fontFile('dejavu-fonts-ttf/ttf/DejaVuSans.ttf'),
    fallbackBold: fontFile('dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf'),
  };
  return files;
}
