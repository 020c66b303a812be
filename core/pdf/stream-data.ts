import {
  decodePDFRawStream,
  PDFArray,
  PDFDict,
  PDFName,
  PDFNumber,
  type PDFObject,
  PDFRawStream,
} from 'pdf-lib';

const FILTER = PDFName.of('Filter');
const DECODE_PARMS = PDFName.of('DecodeParms');
const IDENTITY_CRYPT = PDFName.of('Crypt');

/**
 * The data of a stream after all its filters and predictors (ISO 32000-1, 7.4). Meant for content, object and
 * cross-reference streams: image filters (DCT, JPX, CCITT, JBIG2) throw.
 */
export function streamData(stream: PDFRawStream): Uint8Array {
  const filters = listOf(stream.dict.lookup(FILTER));
  const parameters = listOf(stream.dict.lookup(DECODE_PARMS));
  let data = stream.contents;
  filters.forEach((filter, index) => {
    if (!filter || filter === IDENTITY_CRYPT) return;
    const given = parameters[index];
    const parms = given instanceof PDFDict ? given : undefined;
    const step = PDFDict.withContext(stream.dict.context);
    step.set(FILTER, filter);
    if (parms) step.set(DECODE_PARMS, parms);
    data = withoutPredictor(decodePDFRawStream(PDFRawStream.of(step, data)).decode(), parms);
  });
  return data;
}

function listOf(object: PDFObject | undefined): (PDFObject | undefined)[] {
  if (object instanceof PDFArray)
    return Array.from({ length: object.size() }, (_, index) => object.lookup(index));
  return object === undefined ? [] : [object];
}

/** Undoes the PNG predictors (10–15) and, for 8-bit samples, TIFF predictor 2 (7.4.4.4). */
function withoutPredictor(data: Uint8Array, parms: PDFDict | undefined): Uint8Array {
  const number = (key: string, fallback: number): number => {
    const value = parms?.lookup(PDFName.of(key));
    return value instanceof PDFNumber ? value.asNumber() : fallback;
  };
  const predictor = number('Predictor', 1);
  if (predictor <= 1) return data;
  const bitsPerPixel = number('Colors', 1) * number('BitsPerComponent', 8);
  const pixelBytes = Math.max(1, Math.ceil(bitsPerPixel / 8));
  const rowBytes = Math.max(1, Math.ceil((bitsPerPixel * number('Columns', 1)) / 8));
  return predictor === 2 ? tiffUndone(data, rowBytes, pixelBytes) : pngUndone(data, rowBytes, pixelBytes);
}

function tiffUndone(data: Uint8Array, rowBytes: number, pixelBytes: number): Uint8Array {
  const out = data.slice();
  for (let row = 0; row < out.length; row += rowBytes) {
    const end = Math.min(row + rowBytes, out.length);
    for (let at = row + pixelBytes; at < end; at += 1) out[at] = (out[at]! + out[at - pixelBytes]!) & 0xff;
  }
  return out;
}

/** Each row is preceded by a byte that names its filter: none, sub, up, average, Paeth (PNG, ISO/IEC 15948, clause 9). */
function pngUndone(data: Uint8Array, rowBytes: number, pixelBytes: number): Uint8Array {
  const rows = Math.ceil(data.length / (rowBytes + 1));
  const out = new Uint8Array(rows * rowBytes);
  for (let row = 0; row < rows; row += 1) {
    const from = row * (rowBytes + 1);
    const to = row * rowBytes;
    const filter = data[from]!;
    for (let column = 0; column < rowBytes; column += 1) {
      const raw = data[from + 1 + column] ?? 0;
      const left = column >= pixelBytes ? out[to + column - pixelBytes]! : 0;
      const up = row > 0 ? out[to + column - rowBytes]! : 0;
      const upLeft = row > 0 && column >= pixelBytes ? out[to + column - rowBytes - pixelBytes]! : 0;
      out[to + column] = (raw + pngPrediction(filter, left, up, upLeft)) & 0xff;
    }
  }
  return out;
}

function pngPrediction(filter: number, left: number, up: number, upLeft: number): number {
  switch (filter) {
    case 1:
      return left;
    case 2:
      return up;
    case 3:
      return (left + up) >> 1;
    case 4: {
      const estimate = left + up - upLeft;
      const distances = [
        Math.abs(estimate - left),
        Math.abs(estimate - up),
        Math.abs(estimate - upLeft),
      ] as const;
      if (distances[0] <= distances[1] && distances[0] <= distances[2]) return left;
      return distances[1] <= distances[2] ? up : upLeft;
    }
    default:
      return 0;
  }
}
