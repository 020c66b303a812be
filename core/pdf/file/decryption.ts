import type { PDFRef } from 'pdf-lib';
import { itemAt, present } from '../../measure/present.ts';
import { bytesJoined } from './byte-stream.ts';
import type { PdfCodecs } from './codecs.ts';
import { Rc4, rc4 } from './rc4.ts';
import type { CipherMethod, FileKey } from './security.ts';

const AES_BLOCK = 16;

/** Decrypts the strings and streams of one file. Each object has its own key, except with AES-256. */
export class Decryption {
  readonly fileKey: FileKey;
  readonly #codecs: PdfCodecs;

  constructor(fileKey: FileKey, codecs: PdfCodecs) {
    this.fileKey = fileKey;
    this.#codecs = codecs;
  }

  string(ref: PDFRef, bytes: Uint8Array): Uint8Array {
    const method = this.fileKey.strings;
    if (method === 'none') return bytes;
    const key = this.#objectKey(ref, method);
    if (method === 'rc4') return rc4(key, bytes);
    const decipher = new AesDecipher(key, this.#codecs);
    return bytesJoined([decipher.update(bytes), decipher.end()]);
  }

  /** Decrypts a stream piece by piece: call `update` with each piece, then `end` for the rest. */
  stream(ref: PDFRef): StreamDecipher {
    const method = this.fileKey.streams;
    if (method === 'none') return { update: (bytes) => bytes, end: () => new Uint8Array() };
    const key = this.#objectKey(ref, method);
    if (method !== 'rc4') return new AesDecipher(key, this.#codecs);
    const cipher = new Rc4(key);
    return { update: (bytes) => cipher.apply(bytes), end: () => new Uint8Array() };
  }

  /** The key of one object, ISO 32000-1, Algorithm 1. */
  #objectKey(ref: PDFRef, method: CipherMethod): Uint8Array {
    const { key } = this.fileKey;
    if (method === 'aes256') return key;
    const { objectNumber: n, generationNumber: g } = ref;
    const salt = method === 'aes128' ? Uint8Array.of(0x73, 0x41, 0x6c, 0x54) : new Uint8Array();
    const seed = bytesJoined([key, Uint8Array.of(n, n >> 8, n >> 16, g, g >> 8), salt]);
    return this.#codecs.hash('md5', seed).subarray(0, Math.min(16, key.length + 5));
  }
}

export interface StreamDecipher {
  update(bytes: Uint8Array): Uint8Array;
  end(): Uint8Array;
}

/** AES-CBC: the first block is the initial vector, the last one ends with its padding. */
class AesDecipher implements StreamDecipher {
  readonly #key: Uint8Array;
  readonly #codecs: PdfCodecs;
  #iv: Uint8Array | undefined;
  /** Always holds back the last block, because only the end shows that it contains padding. */
  #pending: Uint8Array = new Uint8Array();

  constructor(key: Uint8Array, codecs: PdfCodecs) {
    this.#key = key;
    this.#codecs = codecs;
  }

  update(bytes: Uint8Array): Uint8Array {
    let data = bytesJoined([this.#pending, bytes]);
    if (this.#iv === undefined && data.length >= AES_BLOCK) {
      this.#iv = data.subarray(0, AES_BLOCK);
      data = data.subarray(AES_BLOCK);
    }
    const length = Math.max(0, Math.ceil(data.length / AES_BLOCK) - 1) * AES_BLOCK;
    this.#pending = data.subarray(length);
    return this.#iv === undefined || length === 0 ? new Uint8Array() : this.#blocks(data.subarray(0, length));
  }

  end(): Uint8Array {
    if (this.#iv === undefined || this.#pending.length < AES_BLOCK) return new Uint8Array();
    const last = this.#blocks(this.#pending.subarray(0, AES_BLOCK));
    const padding = itemAt(last, AES_BLOCK - 1);
    return padding >= 1 && padding <= AES_BLOCK ? last.subarray(0, AES_BLOCK - padding) : last;
  }

  #blocks(data: Uint8Array): Uint8Array {
    const plain = this.#codecs.aesCbc(
      'decrypt',
      this.#key,
      present(this.#iv, 'The first block of encrypted data'),
      data,
    );
    this.#iv = data.slice(-AES_BLOCK);
    return plain;
  }
}
