import { type PDFDict, PDFStream } from 'pdf-lib';
import type { StreamCut } from '../content/stream-record.ts';
import type { CroppedImage } from '../images/cropped-image.ts';

/** Where the data of a panel's stream come from when it is written. */
export type StreamData =
  /** A stream of the artwork, decrypted and packed as it was. */
  | { readonly kind: 'carried'; readonly from: PDFStream }
  /** Bytes in memory, to be packed. */
  | { readonly kind: 'made'; bytes(): Uint8Array }
  /** The remaining operators of a form or the page, packed in the one pass for all panels, after all crops. */
  | { readonly kind: 'content'; readonly from: PDFStream | 'page'; readonly cut: StreamCut | undefined }
  /** One part (the image, or a mask of it) of a crop, written in the one pass for all panels. */
  | { readonly kind: 'cropped'; readonly image: CroppedImage; readonly part: number };

/** A stream of a panel's document whose data are read only when it is written. */
export class PanelStream extends PDFStream {
  readonly data: StreamData;

  constructor(dict: PDFDict, data: StreamData) {
    super(dict);
    this.data = data;
  }

  override getContentsSize(): number {
    throw new Error('The size of this stream is known when it has been written.');
  }

  override getContents(): Uint8Array {
    throw new Error('The data of this stream are fetched when it is written.');
  }
}
