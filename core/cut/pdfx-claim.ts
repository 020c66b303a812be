/**
 * Whether a panel may claim PDF/X-4 as its artwork does, and the metadata that says so (ISO 15930-7, from memory of the
 * standard). What cutting does not touch is as the artwork has it; what it does touch is asked here, and the
 * verification reads the panel back and asks again.
 */
import { PDFArray, type PDFContext, PDFDict, PDFHexString, PDFName, PDFStream } from 'pdf-lib';
import { isRectWithin } from '../measure/rect.ts';
import { dictOf, nameOf, numberOf } from '../pdf/file/dict-values.ts';
import type { PdfFile } from '../pdf/file/pdf-file.ts';
import type { PanelInfo } from './panel-info.ts';
import type { PreparedCut } from './prepared-cut.ts';

export interface PdfxClaim {
  readonly isKept: boolean;
  /** A sentence for the manifest. */
  readonly note: string;
}

/** What decides beside the panel's own boxes. */
export interface PdfxGrounds {
  /** Half sentences about what the artwork breaks itself: `it is encrypted`. */
  readonly breaches: readonly string[];
  /** Color components of the profile of the output intent; undefined where it embeds none. */
  readonly profileComponents: number | undefined;
  /** The Trapped key of the artwork's Info dictionary. */
  readonly trapped: unknown;
}

const INKS = 4;
const ROUNDING_MM = 1e-6;

/** The claim of one panel of an artwork that claims PDF/X-4. */
export function pdfxClaim({ cut, plan }: Pick<PreparedCut, 'cut' | 'plan'>, grounds: PdfxGrounds): PdfxClaim {
  const { printed, net, filmWidthMm, filmHeightMm, marks } = cut;
  const film = {
    x: -ROUNDING_MM,
    y: -ROUNDING_MM,
    width: filmWidthMm + 2 * ROUNDING_MM,
    height: filmHeightMm + 2 * ROUNDING_MM,
  };
  const reasons = [
    ...grounds.breaches.map((breach) => `of the artwork, ${breach}`),
    ...(isRectWithin(net, printed) ? [] : ['what stays visible reaches beyond what is printed']),
    ...(isRectWithin(printed, film) ? [] : ['what is printed reaches beyond the film']),
    ...(plan.userUnit === 1 ? [] : ['the page is measured in larger units (UserUnit)']),
    ...(marks !== undefined && !isProfileForInks(grounds.profileComponents)
      ? ['the marks are in black ink, but the output intent is for other colors']
      : []),
    ...(isTrappedTold(grounds.trapped) ? [] : ['the artwork does not say whether it is trapped']),
  ];
  if (reasons.length === 0)
    return { isKept: true, note: 'The panel keeps the PDF/X-4 claim of the artwork.' };
  return { isKept: false, note: `The PDF/X-4 claim of the artwork was removed: ${reasons.join('; ')}.` };
}

/** Whether an output intent takes black ink as it is. */
export const isProfileForInks = (components: number | undefined): boolean => components === INKS;

function isTrappedTold(trapped: unknown): trapped is PDFName {
  return trapped instanceof PDFName && /^\/(True|False)$/.test(trapped.toString());
}

/** The XMP packet of a panel or a strip that keeps the claim; it says the same as the Info dictionary. */
export function pdfxMetadata(
  context: PDFContext,
  { title, created, program }: PanelInfo,
  trapped: unknown,
  identifier: PDFHexString,
): PDFStream {
  const date = escaped(created.includes('T') ? created : `${created}T00:00:00Z`);
  const isTrapped = isTrappedTold(trapped) && trapped.toString() === '/True';
  const xmp = `<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about=""
 xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:xmp="http://ns.adobe.com/xap/1.0/"
 xmlns:xmpMM="http://ns.adobe.com/xap/1.0/mm/"
 xmlns:pdf="http://ns.adobe.com/pdf/1.3/"
 xmlns:pdfxid="http://www.npes.org/pdfx/ns/id/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">${escaped(title)}</rdf:li></rdf:Alt></dc:title>
<xmp:CreatorTool>${escaped(program)}</xmp:CreatorTool>
<xmp:CreateDate>${date}</xmp:CreateDate>
<xmp:ModifyDate>${date}</xmp:ModifyDate>
<xmp:MetadataDate>${date}</xmp:MetadataDate>
<xmpMM:DocumentID>uuid:${identifier.asString().toLowerCase()}</xmpMM:DocumentID>
<xmpMM:RenditionClass>default</xmpMM:RenditionClass>
<xmpMM:VersionID>1</xmpMM:VersionID>
<pdf:Producer>${escaped(program)}</pdf:Producer>
<pdf:Trapped>${isTrapped ? 'True' : 'False'}</pdf:Trapped>
<pdfxid:GTS_PDFXVersion>PDF/X-4</pdfxid:GTS_PDFXVersion>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>
`;
  // Not packed, so that whoever looks for it need not understand PDF.
  return context.stream(utf8Bytes(xmp), { Type: 'Metadata', Subtype: 'XML' });
}

/** Components of the profile that the artwork's output intent for PDF/X embeds. */
export async function pdfxProfileComponents(file: PdfFile): Promise<number | undefined> {
  const listed = await file.entry(await file.catalog(), 'OutputIntents');
  for (const item of listed instanceof PDFArray ? listed.asArray() : []) {
    const intent = dictOf(await file.resolved(item));
    if (nameOf(await file.entry(intent, 'S')) !== 'GTS_PDFX') continue;
    const profile = await file.entry(intent, 'DestOutputProfile');
    return profile instanceof PDFStream ? numberOf(await file.entry(profile.dict, 'N')) : undefined;
  }
  return undefined;
}

/** A configuration of layers has a name there. */
export function nameLayers(properties: PDFDict | undefined): void {
  const state = properties?.lookup(PDFName.of('D'));
  const name = PDFName.of('Name');
  if (state instanceof PDFDict && state.get(name) === undefined) {
    state.set(name, PDFHexString.fromText('Layers as in the artwork'));
  }
}

const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;' };

/** XML text; signs that XML 1.0 forbids are left out. */
const escaped = (text: string): string =>
  text
    .replaceAll(/[&<>]/g, (sign) => ENTITIES[sign]!)
    .replaceAll(/[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, '');

/** UTF-8 by way of the one encoder that every host of JavaScript has. */
function utf8Bytes(text: string): Uint8Array {
  const percent = encodeURIComponent(text);
  const bytes: number[] = [];
  for (let i = 0; i < percent.length; i++) {
    if (percent[i] === '%') {
      bytes.push(Number.parseInt(percent.slice(i + 1, i + 3), 16));
      i += 2;
    } else bytes.push(percent.charCodeAt(i));
  }
  return Uint8Array.from(bytes);
}
