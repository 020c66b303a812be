import { rawPdf } from '../../support/raw-pdf.ts';

/** A CMYK picture of soft waves, no two places alike. */
function pictureData(width: number, height: number): Uint8Array {
  const data = new Uint8Array(width * height * 4);
  const wave = (value: number): number => Math.round(110 + 100 * Math.sin(value));
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      data.set([wave(x / 31), wave(y / 23), wave((x + y) / 57), 12], (y * width + x) * 4);
    }
  }
  return data;
}

const content = `
0.12 0.03 0.3 0.05 k 0 0 907.1 396.9 re f
q 420 0 0 190 250 120 cm /Photo Do Q
q /Spot cs 0.8 scn /Over gs 40 260 190 90 re f 520 40 120 60 re f Q
0 0.9 0.8 0.1 k 60 40 110 70 re f
q /Blend gs 0.7 0 0 0 k 150 90 500 60 re f Q
0 0 0 1 K 3 w 20 20 m 880 370 l S
q 0 0 1 0.2 k 700 200 m 860 230 l 780 340 l f Q
/OC /Hidden BDC 0 1 0 0 k 300 20 200 350 re f EMC
/OC /Shown BDC 1 0.4 0 0.1 k 640 300 40 60 re f EMC
/Badge Do
`;

/**
 * A page of 320 × 140 mm for the small job, with what a picture does not show: a spot color that overprints, a
 * blended object, a layer that is off, an output intent; and a photo that both panels share.
 */
export const verificationArtwork = (): Uint8Array =>
  rawPdf({
    page: '/MediaBox [0 0 907.0866 396.8504] /Group << /S /Transparency /CS /DeviceCMYK /I true >>',
    catalog:
      '/OCProperties << /OCGs [20 0 R 21 0 R] /D << /Name (Default) /BaseState /ON /OFF [20 0 R] /Order [20 0 R 21 0 R] >> >> /OutputIntents [<< /Type /OutputIntent /S /GTS_PDFX /OutputConditionIdentifier (Shop condition 7) /Info (Shop condition 7) >>]',
    resources:
      '/ColorSpace << /Spot [/Separation /Signal /DeviceCMYK 22 0 R] >> /ExtGState << /Over << /OP true /op true /OPM 1 >> /Blend << /BM /Multiply /ca 0.6 >> >> /Properties << /Hidden 20 0 R /Shown 21 0 R >> /XObject << /Photo 23 0 R /Badge 24 0 R >>',
    content,
    objects: {
      20: '<< /Type /OCG /Name (Template) >>',
      21: '<< /Type /OCG /Name (Lettering) >>',
      22: '<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 0.85 0.7 0] /N 1 >>',
      23: {
        dict: '/Type /XObject /Subtype /Image /Width 840 /Height 380 /BitsPerComponent 8 /ColorSpace /DeviceCMYK',
        data: pictureData(840, 380),
      },
      24: {
        dict: '/Type /XObject /Subtype /Form /BBox [0 0 907 397] /Group << /S /Transparency /K true >> /Resources << >>',
        data: '0.2 0.8 0 0 k 330 330 90 40 re f 0 0.2 0.9 0 k 380 340 90 40 re f',
      },
    },
  });
