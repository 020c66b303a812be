import { type PDFContext, PDFName } from 'pdf-lib';
import { PanelStream } from '../pdf/write/panel-stream.ts';

/** Replaces an image that is named but does not show: one white pixel. `context` is that of the artwork. */
export function imageUnseen(context: PDFContext): PanelStream {
  const dict = context.obj({
    Type: 'XObject',
    Subtype: 'Image',
    Width: 1,
    Height: 1,
    ColorSpace: PDFName.of('DeviceGray'),
    BitsPerComponent: 8,
  });
  return new PanelStream(dict, { kind: 'made', bytes: () => Uint8Array.of(255) });
}
