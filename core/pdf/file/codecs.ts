/**
 * Compression and ciphers are the host's: core is pure and hands the bytes over. Every function may run
 * on another thread.
 */
export interface PdfCodecs {
  /**
   * Undoes zlib/deflate (RFC 1950). Damaged or cut-off data yields what could be decoded before the
   * damage, as every reader of PDF does. Yields at most `limit` bytes; rejects
   * with a RangeError when there would be more.
   */
  inflate(bytes: Uint8Array, limit: number): Promise<Uint8Array>;
  /**
   * Undoes zlib/deflate piece by piece, for data of any length. Damaged data end early. Each piece of the source lives
   * until the next is asked for, each of the result is memory of its own. Returns whether the data came to their own end
   * with the checksum that is there.
   */
  inflatePieces(source: AsyncIterable<Uint8Array>): AsyncGenerator<Uint8Array, boolean>;
  /** A digest of the bytes. Only encrypted files ask for it. */
  hash(algorithm: 'md5' | 'sha256' | 'sha384' | 'sha512', bytes: Uint8Array): Uint8Array;
  /** AES in CBC mode without padding; 16 or 32 bytes of key, whole blocks only. Only encrypted files ask for it. */
  aesCbc(direction: 'encrypt' | 'decrypt', key: Uint8Array, iv: Uint8Array, blocks: Uint8Array): Uint8Array;
}
