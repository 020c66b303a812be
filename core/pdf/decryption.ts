import {
  PDFArray,
  PDFContext,
  PDFDict,
  PDFDocument,
  PDFHexString,
  PDFName,
  PDFNumber,
  type PDFObject,
  PDFRawStream,
  PDFString,
  PDFWriter,
} from 'pdf-lib';
import { type Result, resultOk, resultProblem } from '../measure/result.ts';
import { type ArtworkProblem, artworkProblem } from './artwork-problem.ts';

const OBJECT_STREAM = PDFName.of('ObjStm');
const SEALED_OBJECT_STREAM = PDFName.of('PanelwrightSealedObjStm');
const XREF_STREAM = PDFName.of('XRef');

/**
 * The same objects with strings and streams decrypted (ISO 32000-1, 7.6: RC4 and AES, 40 to 256 bits).
 *
 * pdf-lib decrypts only while it loads a whole file, so the encrypted objects are written into a small clean
 * file first. That also avoids what its loader gets wrong in encrypted files: strings come as hexadecimal
 * (decrypted bytes put into a literal string would need escapes), cross-reference streams are left out (they
 * are never encrypted), lengths are direct, and object streams are unpacked later, by the table.
 */
export async function contextDecrypted(
  sealed: PDFContext,
  trailer: PDFDict,
  password: string | undefined,
): Promise<Result<PDFContext, ArtworkProblem>> {
  if (!isArtworkSealed(sealed, trailer)) return resultOk(sealed);
  const file = await cleanFile(sealed, trailer);
  const attempts = password ? [password, ''] : [''];
  let refusal: unknown;
  for (const attempt of attempts) {
    try {
      const loaded = await PDFDocument.load(file, { password: attempt, updateMetadata: false });
      for (const [, object] of loaded.context.enumerateIndirectObjects()) {
        if (object instanceof PDFRawStream && object.dict.get(PDFName.Type) === SEALED_OBJECT_STREAM) {
          object.dict.set(PDFName.Type, OBJECT_STREAM);
        }
      }
      return resultOk(loaded.context);
    } catch (error) {
      refusal = error;
    }
  }
  return resultProblem(refusalProblem(refusal, password));
}

/** Some files encrypt only what is attached to them: the filters for strings and streams are Identity (7.6.5, Table 20). */
function isArtworkSealed(sealed: PDFContext, trailer: PDFDict): boolean {
  const encrypt = sealed.lookup(trailer.get(PDFName.of('Encrypt')));
  if (!(encrypt instanceof PDFDict)) return false;
  const version = encrypt.lookup(PDFName.of('V'));
  if (!(version instanceof PDFNumber) || version.asNumber() < 4) return true;
  const identity = PDFName.of('Identity');
  return ['StmF', 'StrF'].some((key) => (encrypt.lookup(PDFName.of(key)) ?? identity) !== identity);
}

function refusalProblem(refusal: unknown, password: string | undefined): ArtworkProblem {
  const isAboutPassword = refusal instanceof Error && /password/i.test(refusal.message);
  if (!isAboutPassword) {
    return artworkProblem(
      'pdf-encryption-unknown',
      'This PDF is encrypted in a way that cannot be opened here; only password encryption can.',
      'Ask for the artwork as a PDF without encryption.',
    );
  }
  if (password) {
    return artworkProblem(
      'pdf-password-wrong',
      'The password does not open this PDF.',
      'Check the password with whoever sent the artwork, capitals and spaces included.',
    );
  }
  return artworkProblem(
    'pdf-password-needed',
    'This PDF is encrypted and asks for a password.',
    'Enter the password, or ask for the artwork as a PDF without encryption.',
  );
}

async function cleanFile(sealed: PDFContext, trailer: PDFDict): Promise<Uint8Array> {
  const clean = PDFContext.create();
  for (const [ref, object] of sealed.enumerateIndirectObjects()) {
    const dict = object instanceof PDFRawStream ? object.dict : object;
    const type = dict instanceof PDFDict ? dict.get(PDFName.Type) : undefined;
    if (type === XREF_STREAM) continue;
    stringsToHex(object);
    if (type === OBJECT_STREAM && dict instanceof PDFDict) dict.set(PDFName.Type, SEALED_OBJECT_STREAM);
    clean.assign(ref, object);
  }
  stringsToHex(trailer);
  const emptyId = clean.obj([PDFHexString.of(''), PDFHexString.of('')]);
  for (const key of ['Root', 'Encrypt'] as const) {
    const value = trailer.get(PDFName.of(key));
    if (value) clean.trailerInfo[key] = value;
  }
  const id = sealed.lookup(trailer.get(PDFName.of('ID')));
  clean.trailerInfo.ID = id instanceof PDFArray && id.size() > 0 ? id : emptyId;
  return PDFWriter.forContext(clean, Number.POSITIVE_INFINITY).serializeToBuffer();
}

/** Replaces literal strings within one object by hexadecimal ones of the same bytes. */
function stringsToHex(root: PDFObject): void {
  const waiting: PDFObject[] = [root];
  const hex = (item: PDFObject): PDFObject =>
    item instanceof PDFString ? PDFHexString.fromBytes(item.asBytes()) : item;
  for (let object = waiting.pop(); object; object = waiting.pop()) {
    if (object instanceof PDFRawStream) waiting.push(object.dict);
    else if (object instanceof PDFArray) {
      for (let index = 0; index < object.size(); index += 1) {
        const item = object.get(index);
        if (item instanceof PDFString) object.set(index, hex(item));
        else waiting.push(item);
      }
    } else if (object instanceof PDFDict) {
      for (const [key, item] of object.entries()) {
        if (item instanceof PDFString) object.set(key, hex(item));
        else waiting.push(item);
      }
    }
  }
}
