/** Compression and ciphers, which the host provides because core is pure. Every function may run on another thread. */
export interface PdfCodecs {
  /**
   * Undoes zlib/deflate (RFC 1950). Damaged or cut-off data gives what could be decoded before the damage, as in every
   * PDF reader. Returns at most `limit` bytes; rejects with a RangeError when there would be more.
   */
  inflate(bytes: Uint8Array, limit: number): Promise<Uint8Array>;
  /**
   * Undoes zlib/deflate piece by piece, for data of any length. Damaged data end early. A piece of the source is valid
   * until the next is requested; each piece of the result has its own memory. Returns whether the data ended properly
   * and the checksum matched.
   */
  inflatePieces(source: AsyncIterable<Uint8Array>): AsyncGenerator<Uint8Array, boolean>;
  /** A digest of the bytes. Only encrypted files need it. */
  hash(algorithm: 'md5' | 'sha256' | 'sha384' | 'sha512', bytes: Uint8Array): Uint8Array;
  /** AES in CBC mode without padding; key of 16 or 32 bytes, whole blocks only. Only encrypted files need it. */
  aesCbc(direction: 'encrypt' | 'decrypt', key: Uint8Array, iv: Uint8Array, blocks: Uint8Array): Uint8Array;
}
