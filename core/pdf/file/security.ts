/**
 * The standard security handler, ISO 32000-1, 7.6.3 and ISO 32000-2, 7.6.4: revisions 2 to 6, so RC4 of 40
 * to 128 bits, AES-128 and AES-256. The empty password is tried first, because most protected artwork opens
 * without one. Algorithm numbers below are those of ISO 32000-2.
 */
import { type PDFDict, PDFName, type PDFObject, utf8Encode } from 'pdf-lib';
import { lastOf } from '../../measure/present.ts';
import { bytesJoined } from './byte-stream.ts';
import type { PdfCodecs } from './codecs.ts';
import { boolOf, bytesOf, dictOf, nameOf, numberOf } from './dict-values.ts';
import { PdfProblem, problemDamaged } from './pdf-problem.ts';
import { rc4 } from './rc4.ts';
import { bytesFromLatin1 } from './syntax.ts';

/** How data is encrypted: RC4, AES-128 (key per object), AES-256 (one key), or not at all. */
export type CipherMethod = 'rc4' | 'aes128' | 'aes256' | 'none';

export interface FileKey {
  readonly key: Uint8Array;
  readonly strings: CipherMethod;
  readonly streams: CipherMethod;
  readonly isMetadataEncrypted: boolean;
}

/** ISO 32000-1, Algorithm 2, step a: the bytes that fill a password up to 32 bytes. */
const PADDING = Uint8Array.of(
  ...[0x28, 0xbf, 0x4e, 0x5e, 0x4e, 0x75, 0x8a, 0x41, 0x64, 0x00, 0x4e, 0x56, 0xff, 0xfa, 0x01, 0x08],
  ...[0x2e, 0x2e, 0x00, 0xb6, 0xd0, 0x68, 0x3e, 0x80, 0x2f, 0x0c, 0xa9, 0xfe, 0x64, 0x53, 0x69, 0x7a],
);

interface Encryption {
  readonly version: number;
  readonly revision: number;
  readonly keyBytes: number;
  readonly owner: Uint8Array;
  readonly user: Uint8Array;
  readonly permissions: number;
  readonly isMetadataEncrypted: boolean;
  readonly fileId: Uint8Array;
}

/**
 * The key of an encrypted file. `encrypt` must have its references resolved, `fileId` is the first string of
 * the trailer's ID.
 * @throws PdfProblem when the handler is none that is published, or no password fits.
 */
export function fileKeyFrom(
  encrypt: PDFDict,
  fileId: Uint8Array,
  password: string | undefined,
  codecs: PdfCodecs,
): FileKey {
  const get = (key: string): PDFObject | undefined => encrypt.get(PDFName.of(key));
  const handler = nameOf(get('Filter'));
  const version = numberOf(get('V')) ?? 0;
  const revision = numberOf(get('R')) ?? 0;
  if (handler !== 'Standard' || ![1, 2, 4, 5].includes(version) || revision < 2 || revision > 6) {
    throw new PdfProblem(
      'pdf-encryption-unknown',
      `The PDF is protected by a scheme that is not the standard one (${handler ?? 'none'}, version ${version}).`,
      'Save the file without protection in the program that protected it, and import that.',
    );
  }
  const owner = bytesOf(get('O'));
  const user = bytesOf(get('U'));
  if (owner === undefined || user === undefined) {
    throw problemDamaged('The PDF is protected, but the entry that holds its password check is missing.');
  }
  const isMetadataEncrypted = boolOf(get('EncryptMetadata')) ?? true;
  const strings = version >= 4 ? cryptFilterMethod(encrypt, nameOf(get('StrF'))) : 'rc4';
  const streams = version >= 4 ? cryptFilterMethod(encrypt, nameOf(get('StmF'))) : 'rc4';
  // Some files encrypt only their attachments, so their pages can be read without a password.
  if (strings === 'none' && streams === 'none') {
    return { key: new Uint8Array(), strings, streams, isMetadataEncrypted };
  }
  const encryption: Encryption = {
    version,
    revision,
    keyBytes: keyBytesFrom(encrypt, version),
    owner,
    user,
    permissions: numberOf(get('P')) ?? 0,
    isMetadataEncrypted,
    fileId,
  };
  const passwords = password === undefined || password === '' ? [''] : [password, ''];
  for (const candidate of passwords) {
    const key =
      version === 5
        ? keyOfRevision6(encryption, encrypt, candidate, codecs)
        : (keyFromUserPassword(encryption, bytesFromLatin1(candidate), codecs) ??
          keyFromUserPassword(encryption, userPasswordFromOwner(encryption, candidate, codecs), codecs));
    if (key !== undefined) return { key, strings, streams, isMetadataEncrypted };
  }
  throw password === undefined
    ? new PdfProblem(
        'pdf-password-needed',
        'The PDF opens with a password only.',
        'Ask the customer for the password and enter it, or for a file without one.',
      )
    : new PdfProblem(
        'pdf-password-wrong',
        'The password does not open this PDF.',
        'Check upper and lower case, and ask the customer which password belongs to this file.',
      );
}

function keyBytesFrom(encrypt: PDFDict, version: number): number {
  if (version === 1) return 5;
  if (version === 5) return 32;
  if (version === 4) return 16;
  const bits = numberOf(encrypt.get(PDFName.of('Length'))) ?? 40;
  // Some writers state bytes instead of bits.
  const bytes = bits < 40 ? bits : bits >> 3;
  return Math.max(5, Math.min(16, bytes));
}

function cryptFilterMethod(encrypt: PDFDict, name: string | undefined): CipherMethod {
  if (name === undefined || name === 'Identity') return 'none';
  const filter = dictOf(dictOf(encrypt.get(PDFName.of('CF')))?.get(PDFName.of(name)));
  switch (nameOf(filter?.get(PDFName.of('CFM')))) {
    case 'V2':
      return 'rc4';
    case 'AESV2':
      return 'aes128';
    case 'AESV3':
      return 'aes256';
    default:
      return 'none';
  }
}

const padded = (password: Uint8Array): Uint8Array => bytesJoined([password, PADDING]).subarray(0, 32);

/** Algorithms 2, 4, 5 and 6: the key, if the user password is right. */
function keyFromUserPassword(e: Encryption, password: Uint8Array, codecs: PdfCodecs): Uint8Array | undefined {
  const p = e.permissions;
  let hash = codecs.hash(
    'md5',
    bytesJoined([
      padded(password),
      e.owner.subarray(0, 32),
      Uint8Array.of(p, p >> 8, p >> 16, p >> 24),
      e.fileId,
      e.revision >= 4 && !e.isMetadataEncrypted ? Uint8Array.of(255, 255, 255, 255) : new Uint8Array(),
    ]),
  );
  if (e.revision >= 3) {
    for (let round = 0; round < 50; round++) hash = codecs.hash('md5', hash.subarray(0, e.keyBytes));
  }
  const key = hash.subarray(0, e.keyBytes);
  if (e.revision === 2) return isSame(rc4(key, PADDING), e.user.subarray(0, 32)) ? key : undefined;
  let check = rc4(key, codecs.hash('md5', bytesJoined([PADDING, e.fileId])));
  for (let round = 1; round <= 19; round++)
    check = rc4(
      key.map((byte) => byte ^ round),
      check,
    );
  return isSame(check, e.user.subarray(0, 16)) ? key : undefined;
}

/** Algorithm 7: the user password, recovered by the owner password (random bytes if that is wrong). */
function userPasswordFromOwner(e: Encryption, password: string, codecs: PdfCodecs): Uint8Array {
  let hash = codecs.hash('md5', padded(bytesFromLatin1(password)));
  if (e.revision >= 3) for (let round = 0; round < 50; round++) hash = codecs.hash('md5', hash);
  const key = hash.subarray(0, e.keyBytes);
  let user: Uint8Array = e.owner.slice(0, 32);
  if (e.revision === 2) return rc4(key, user);
  for (let round = 19; round >= 0; round--)
    user = rc4(
      key.map((byte) => byte ^ round),
      user,
    );
  return user;
}

/** Algorithm 2.A: AES-256 keys, revisions 5 and 6. */
function keyOfRevision6(
  e: Encryption,
  encrypt: PDFDict,
  password: string,
  codecs: PdfCodecs,
): Uint8Array | undefined {
  const given = utf8Encode(password.normalize('NFKC'), false).subarray(0, 127);
  const user = e.user.subarray(0, 48);
  const hash = (salt: Uint8Array, more: Uint8Array): Uint8Array =>
    e.revision === 5
      ? codecs.hash('sha256', bytesJoined([given, salt, more]))
      : hashOfRevision6(given, salt, more, codecs);
  const unwrapped = (key: Uint8Array, wrapped: Uint8Array | undefined): Uint8Array | undefined =>
    wrapped === undefined || wrapped.length < 32
      ? undefined
      : codecs.aesCbc('decrypt', key, new Uint8Array(16), wrapped.subarray(0, 32));
  const none = new Uint8Array();
  if (isSame(hash(e.user.subarray(32, 40), none), e.user.subarray(0, 32))) {
    return unwrapped(hash(e.user.subarray(40, 48), none), bytesOf(encrypt.get(PDFName.of('UE'))));
  }
  if (isSame(hash(e.owner.subarray(32, 40), user), e.owner.subarray(0, 32))) {
    return unwrapped(hash(e.owner.subarray(40, 48), user), bytesOf(encrypt.get(PDFName.of('OE'))));
  }
  return undefined;
}

/** Algorithm 2.B: the hardened hash of revision 6. */
function hashOfRevision6(
  password: Uint8Array,
  salt: Uint8Array,
  more: Uint8Array,
  codecs: PdfCodecs,
): Uint8Array {
  let k = codecs.hash('sha256', bytesJoined([password, salt, more]));
  for (let round = 0; ; round++) {
    const once = bytesJoined([password, k, more]);
    const repeated = bytesJoined(Array.from({ length: 64 }, () => once));
    const e = codecs.aesCbc('encrypt', k.subarray(0, 16), k.subarray(16, 32), repeated);
    // 256 is 1 modulo 3, so the remainder of the 16-byte number is the remainder of the sum of its bytes.
    const remainder = e.subarray(0, 16).reduce((sum, byte) => sum + byte, 0) % 3;
    k = codecs.hash(remainder === 0 ? 'sha256' : remainder === 1 ? 'sha384' : 'sha512', e);
    if (round >= 63 && lastOf(e) <= round - 31) return k.subarray(0, 32);
  }
}

const isSame = (a: Uint8Array, b: Uint8Array): boolean =>
  a.length === b.length && a.every((byte, i) => byte === b[i]);
