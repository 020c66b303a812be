/// <reference path="./fontkit.d.ts" />
import { create } from 'fontkit';
import { CustomFontSubsetEmbedder, type PDFContext, type PDFDict, PDFName, type PDFRef } from 'pdf-lib';
import { type Drawing, type TextItem, textOrigin, turnDirection } from './drawing.ts';
import { type FaceName, FONT_FEATURES, type FontLibrary } from './font-library.ts';
import type { PageUnits } from './pdf-content.ts';

/** The faces that a set of drawings uses, as subsets in one document. */
export interface EmbeddedFaces {
  /** Operators for one line; the faces that they name are put into `resources`. */
  text(item: TextItem, units: PageUnits, resources: PDFDict): string;
  /** Writes the subsets; to be called once, after all text. */
  finish(): Promise<void>;
}

interface Face {
  readonly ref: PDFRef;
  readonly embedder: CustomFontSubsetEmbedder;
}

export async function embeddedFaces(
  context: PDFContext,
  drawings: readonly Drawing[],
  fonts: FontLibrary,
): Promise<EmbeddedFaces> {
  const faces = new Map<FaceName, Face>();
  for (const [face, characters] of charactersByFace(drawings, fonts)) {
    const name = `${subsetTag(face, characters)}+${fonts.faceName(face)}`;
    const embedder = await CustomFontSubsetEmbedder.for({ create }, fonts.files[face]!, name, {
      ...FONT_FEATURES,
    });
    faces.set(face, { ref: context.nextRef(), embedder });
  }
  return {
    text(item, units, resources) {
      const origin = textOrigin(item);
      const along = turnDirection(item.turn);
      const turn = `${along.x} ${-along.y || 0} ${along.y} ${along.x}`;
      const shown = fonts.runs(item.text, item.role).map(({ face, text }) => {
        const { ref, embedder } = faces.get(face)!;
        resources.set(PDFName.of(face), ref);
        return `/${face} ${units.length(item.sizeMm)} Tf ${embedder.encodeText(text)} Tj`;
      });
      return ['BT', `${turn} ${units.x(origin.x)} ${units.y(origin.y)} Tm`, ...shown, 'ET'].join('\n');
    },
    async finish() {
      for (const { ref, embedder } of faces.values()) await embedder.embedIntoContext(context, ref);
    },
  };
}

function charactersByFace(
  drawings: readonly Drawing[],
  fonts: FontLibrary,
): (readonly [FaceName, ReadonlySet<string>])[] {
  const used = new Map<FaceName, Set<string>>();
  for (const item of drawings.flatMap(({ items }) => items)) {
    if (item.kind !== 'text') continue;
    for (const { face, text } of fonts.runs(item.text, item.role)) {
      const characters = used.get(face) ?? new Set();
      for (const character of text) characters.add(character);
      used.set(face, characters);
    }
  }
  return [...used].sort(([a], [b]) => (a < b ? -1 : 1));
}

/**
 * A subset needs a tag that no other subset of the same font has (ISO 32000-1, 9.6.4). It is made from the
 * text itself with FNV-1a (a hash small enough to be written here; no secret depends on it), so it changes
 * when the subset does and never by chance.
 */
function subsetTag(face: FaceName, characters: ReadonlySet<string>): string {
  let hash = 0x811c9dc5;
  for (const character of [face, ...[...characters].sort()].join('')) {
    hash = Math.imul(hash ^ character.codePointAt(0)!, 0x01000193) >>> 0;
  }
  let tag = '';
  for (let i = 0; i < 6; i += 1) {
    tag += String.fromCharCode(65 + (hash % 26));
    hash = Math.floor(hash / 26);
  }
  return tag;
}
