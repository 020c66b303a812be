/** RC4 as a stream: each call continues the key stream, so that data can come in pieces. */
export class Rc4 {
  readonly #state = Uint8Array.from({ length: 256 }, (_, i) => i);
  #i = 0;
  #j = 0;

  constructor(key: Uint8Array) {
    const s = this.#state;
    let j = 0;
    for (let i = 0; i < 256; i++) {
      const held = s[i]!;
      j = (j + held + key[i % key.length]!) & 255;
      s[i] = s[j]!;
      s[j] = held;
    }
  }

  apply(data: Uint8Array): Uint8Array {
    const s = this.#state;
    const out = new Uint8Array(data.length);
    let i = this.#i;
    let j = this.#j;
    for (let n = 0; n < data.length; n++) {
      i = (i + 1) & 255;
      const a = s[i]!;
      j = (j + a) & 255;
      const b = s[j]!;
      s[i] = b;
      s[j] = a;
      out[n] = data[n]! ^ s[(a + b) & 255]!;
    }
    this.#i = i;
    this.#j = j;
    return out;
  }
}

export const rc4 = (key: Uint8Array, data: Uint8Array): Uint8Array => new Rc4(key).apply(data);
