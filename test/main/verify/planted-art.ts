/** A page with everything that a panel can lose: each kind of picture, color, pattern, mask, layer and setting. */
import { deflateSync } from 'node:zlib';
import { jpegMade } from '../../core/pdf/images/jpeg-made.ts';
import { rawPdf } from '../../support/raw-pdf.ts';

function samples(columns: number, rows: number, components: number): Uint8Array {
  const data = new Uint8Array(columns * rows * components);
  for (let i = 0; i < data.length; i++) {
    const [x, y] = [(i / components) % columns, i / components / columns];
    data[i] = 120 + 90 * Math.sin(x / (17 + (i % components)) + y / 29) + ((i * 7919) % 11);
  }
  return data;
}

/** Rows with PNG filters in turn (RFC 2083, 6), packed. */
function filtered(data: Uint8Array, rowBytes: number, pixel: number): Uint8Array {
  const rows = data.length / rowBytes;
  const out = new Uint8Array(data.length + rows);
  for (let y = 0; y < rows; y++) {
    const filter = [0, 1, 2][y % 3]!;
    out[y * (rowBytes + 1)] = filter;
    for (let i = 0; i < rowBytes; i++) {
      const at = y * rowBytes + i;
      const left = filter === 1 && i >= pixel ? data[at - pixel]! : 0;
      const above = filter === 2 && y > 0 ? data[at - rowBytes]! : 0;
      out[y * (rowBytes + 1) + 1 + i] = data[at]! - left - above;
    }
  }
  return deflateSync(out);
}

const CONTENT = `
0.12 0.03 0.3 0.05 k 0 0 907.1 396.9 re f
q 520 0 0 170 190 210 cm /Photo Do Q
q 500 0 0 60 200 20 cm /Jpeg Do Q
q 1 0 0.1 0.3 k 300 0 0 60 300 90 cm /Stencil Do Q
q 150 0 0 60 330 155 cm /Palette Do Q
q /Spot cs 0.8 scn /Over gs 40 260 190 90 re f 520 40 120 60 re f Q
q /Pattern cs /Tiles scn 20 150 860 50 re f Q
q /Pattern cs /Ramp scn 240 340 400 40 re f Q
q /Perceptual ri 0 0.9 0.8 0.1 k 60 40 710 70 re f Q
q /Blend gs 0.7 0 0 0 k 150 90 500 60 re f Q
q /Faded gs 0 0.6 1 0 k 100 60 700 200 re f Q
q 120 20 640 350 re W n 0 0 0 0.4 k 100 300 700 40 re f Q
q [9 4] 0 d 3 w 1 J 0 0 0 1 K 20 20 m 880 370 l S Q
0 0 1 0.2 k 700 200 m 860 230 l 780 340 l f
BT /Letters 40 Tf 1 0 0 1 250 230 Tm 0.5 0.5 0 0 k (Alder County Library) Tj ET
/OC /Hidden BDC 0 1 0 0 k 300 20 200 350 re f EMC
/OC /Shown BDC 1 0.4 0 0.1 k 340 300 340 60 re f EMC
/Badge Do
`;

export const plantedArtwork = (): Uint8Array =>
  rawPdf({
    page: '/MediaBox [0 0 907.0866 396.8504] /Group << /S /Transparency /CS /DeviceCMYK /I true >>',
    catalog:
      '/OCProperties << /OCGs [20 0 R 21 0 R] /D << /Name (Default) /BaseState /ON /OFF [20 0 R] /Order [20 0 R 21 0 R] >> >> /OutputIntents [<< /Type /OutputIntent /S /GTS_PDFX /OutputConditionIdentifier (Shop condition 7) /Info (Shop condition 7) >>]',
    resources: `/ColorSpace << /Spot [/Separation /Signal /DeviceCMYK 22 0 R] >>
      /ExtGState << /Over << /OP true /op true /OPM 1 /RI /Saturation >> /Blend << /BM /Multiply /ca 0.6 >> /Faded << /SMask << /S /Luminosity /G 25 0 R >> >> >>
      /Properties << /Hidden 20 0 R /Shown 21 0 R >> /Pattern << /Tiles 26 0 R /Ramp 27 0 R >>
      /Font << /Letters << /Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold >> >>
      /XObject << /Photo 23 0 R /Jpeg 30 0 R /Stencil 31 0 R /Palette 32 0 R /Badge 24 0 R >>`,
    content: CONTENT,
    objects: {
      20: '<< /Type /OCG /Name (Template) >>',
      21: '<< /Type /OCG /Name (Lettering) >>',
      22: '<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 0.85 0.7 0] /N 1 >>',
      23: {
        dict: '/Type /XObject /Subtype /Image /Width 840 /Height 380 /BitsPerComponent 8 /ColorSpace /DeviceCMYK /Intent /RelativeColorimetric /SMask 28 0 R /Filter /FlateDecode /DecodeParms << /Predictor 15 /Colors 4 /Columns 840 >>',
        data: filtered(samples(840, 380, 4), 840 * 4, 4),
      },
      24: {
        dict: '/Type /XObject /Subtype /Form /BBox [0 0 907 397] /Group << /S /Transparency /K true >> /Resources << >>',
        data: '0.2 0.8 0 0 k 330 330 90 40 re f 0 0.2 0.9 0 k 380 340 90 40 re f',
      },
      25: {
        dict: '/Type /XObject /Subtype /Form /BBox [0 0 907 397] /Group << /S /Transparency /CS /DeviceGray >> /Resources << >>',
        data: '0.4 g 100 60 350 200 re f 0.9 g 450 60 400 200 re f',
      },
      26: {
        dict: '/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 26 14] /XStep 26 /YStep 14 /Matrix [1.1 0 0 1 7 3] /Resources << >>',
        data: '0 0.7 0.7 0 k 0 0 11 8 re f 0.8 0 0.2 0 k 13 4 9 9 re f',
      },
      27: '<< /Type /Pattern /PatternType 2 /Shading << /ShadingType 2 /ColorSpace /DeviceCMYK /Coords [240 0 640 0] /Function 29 0 R >> >>',
      28: {
        dict: '/Type /XObject /Subtype /Image /Width 420 /Height 190 /BitsPerComponent 8 /ColorSpace /DeviceGray /Filter /FlateDecode',
        data: deflateSync(samples(420, 190, 1)),
      },
      29: '<< /FunctionType 2 /Domain [0 1] /C0 [1 0 0 0] /C1 [0 0 1 0.2] /N 1.3 >>',
      30: {
        dict: '/Type /XObject /Subtype /Image /Width 1280 /Height 160 /BitsPerComponent 8 /ColorSpace /DeviceRGB /Filter /DCTDecode',
        data: jpegMade({
          width: 1280,
          height: 160,
          sampling: [
            [2, 1],
            [1, 1],
            [1, 1],
          ],
          scans: [[0, 1, 2]],
          restartInterval: 0,
          hasWideQuantisation: false,
          adobeTransform: undefined,
          seed: 7,
        }),
      },
      31: {
        dict: '/Type /XObject /Subtype /Image /ImageMask true /Width 2400 /Height 480 /BitsPerComponent 1 /Filter /FlateDecode',
        data: deflateSync(samples(300, 480, 1)),
      },
      32: {
        dict: '/Type /XObject /Subtype /Image /Width 640 /Height 240 /BitsPerComponent 4 /ColorSpace [/Indexed /DeviceRGB 15 <000000101010203040506070a0b0c0d0e0f0ff00000000ff00ff0080804020c06090f0123456654321fedcba998877ffffff>] /Filter /FlateDecode',
        data: deflateSync(samples(320, 240, 1)),
      },
    },
  });
