/**
 * Hashes that are equal where the hashed things are: 52 bits, so that two of a million objects collide by accident once
 * in a thousand million verifications. They take less memory than texts, of which a drawing would need gigabytes.
 */
export type ContentHash = number;

const LANE = 2 ** 32;
const HIGH_BITS = 20;

/** The hash of `seed` followed by `value`. */
export function hashed(seed: ContentHash, value: number): ContentHash {
  // A fraction or a huge number is hashed by its bits.
  const whole = Number.isInteger(value) && Math.abs(value) < Number.MAX_SAFE_INTEGER ? value : bitsOf(value);
  const low = whole | 0;
  const high = Math.floor(whole / LANE) | 0;
  let a = (seed | 0) ^ Math.imul(low ^ (low >>> 15), 0x2c1b3c6d);
  let b = (Math.floor(seed / LANE) | 0) ^ Math.imul(high ^ 0x1b56c4e9, 0x297a2d39);
  a = Math.imul(a ^ (a >>> 16), 0x85ebca6b) + b;
  b = Math.imul(b ^ (a >>> 13) ^ a, 0xc2b2ae35);
  a ^= Math.imul(b ^ (b >>> 16), 0x27d4eb2f);
  b ^= a >>> 9;
  return ((b >>> 0) % (1 << HIGH_BITS)) * LANE + (a >>> 0);
}

const float = new Float64Array(1);
const floatBits = new Uint32Array(float.buffer);

function bitsOf(value: number): number {
  float[0] = value;
  return (floatBits[1]! >>> 11) * LANE + ((floatBits[0]! ^ Math.imul(floatBits[1]!, 0x9e3779b1)) % LANE);
}

export function hashedBytes(
  seed: ContentHash,
  bytes: Uint8Array,
  start = 0,
  end = bytes.length,
): ContentHash {
  const running = new RunningHash();
  running.add(bytes, start, end);
  return running.after(seed);
}

/** The hash of bytes that come in pieces of any size. */
export class RunningHash {
  #a = 0x811c9dc5;
  #b = 0x1b873593;
  #length = 0;

  add(bytes: Uint8Array, start = 0, end = bytes.length): void {
    let a = this.#a;
    let b = this.#b;
    for (let at = start; at < end; at++) {
      a = Math.imul(a ^ bytes[at]!, 0x01000193);
      b = Math.imul(b ^ bytes[at]! ^ (b >>> 15), 0x85ebca6b);
    }
    this.#a = a;
    this.#b = b;
    this.#length += end - start;
  }

  after(seed: ContentHash): ContentHash {
    return hashed(hashed(hashed(seed, this.#length), this.#a), this.#b);
  }
}

export function hashedText(seed: ContentHash, text: string): ContentHash {
  let a = 0x811c9dc5 ^ text.length;
  let b = 0x1b873593;
  for (let at = 0; at < text.length; at++) {
    a = Math.imul(a ^ text.charCodeAt(at), 0x01000193);
    b = Math.imul(b ^ text.charCodeAt(at) ^ (b >>> 15), 0x85ebca6b);
  }
  return hashed(hashed(seed, a), b);
}
