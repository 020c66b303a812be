import { isDelimiter, isNumeric, isRegular, isWhite, latin1 } from './file/syntax.ts';

/** A name or an operator of a content stream; operands of other kinds are stepped over. */
export interface ContentToken {
  readonly kind: 'name' | 'operator';
  /** The name without its slash and escapes as written, or the operator. */
  readonly text: string;
  /** Offset of its first byte. */
  readonly at: number;
}

/** How many bytes behind a supposed `EI` must look like text. */
const EI_LOOKAHEAD = 12;

/**
 * The names and operators of a content stream, in order. Strings, numbers and the data of inline images are
 * passed over, so a `Q` inside a string is none (ISO 32000-1, 7.8.2 and 8.9.7).
 */
export function* contentTokens(bytes: Uint8Array): Generator<ContentToken> {
  let at = 0;
  while (at < bytes.length) {
    const byte = bytes[at]!;
    if (isWhite(byte)) at += 1;
    else if (byte === 0x25) at = lineEnd(bytes, at);
    else if (byte === 0x28) at = literalStringEnd(bytes, at);
    else if (byte === 0x3c && bytes[at + 1] !== 0x3c) at = hexStringEnd(bytes, at);
    else if (byte === 0x2f) {
      const end = regularEnd(bytes, at + 1);
      yield { kind: 'name', text: latin1(bytes, at + 1, end), at };
      at = end;
    } else if (isDelimiter(byte)) at += 1;
    else {
      const end = regularEnd(bytes, at);
      if (!isNumeric(byte)) {
        const text = latin1(bytes, at, Math.min(end, at + 16));
        yield { kind: 'operator', text, at };
        if (text === 'ID') {
          at = inlineImageEnd(bytes, end);
          continue;
        }
      }
      at = end;
    }
  }
}

function regularEnd(bytes: Uint8Array, from: number): number {
  let end = from;
  while (end < bytes.length && isRegular(bytes[end]!)) end += 1;
  return end;
}

function lineEnd(bytes: Uint8Array, from: number): number {
  let end = from;
  while (end < bytes.length && bytes[end] !== 0x0a && bytes[end] !== 0x0d) end += 1;
  return end;
}

function literalStringEnd(bytes: Uint8Array, from: number): number {
  let depth = 0;
  for (let at = from; at < bytes.length; at += 1) {
    const byte = bytes[at];
    if (byte === 0x5c) at += 1;
    else if (byte === 0x28) depth += 1;
    else if (byte === 0x29) {
      depth -= 1;
      if (depth === 0) return at + 1;
    }
  }
  return bytes.length;
}

function hexStringEnd(bytes: Uint8Array, from: number): number {
  const end = bytes.indexOf(0x3e, from);
  return end < 0 ? bytes.length : end + 1;
}

/**
 * Where the `EI` of an inline image stands. Its data may hold the same two letters, so they count only between
 * white space and with text behind them.
 */
function inlineImageEnd(bytes: Uint8Array, afterId: number): number {
  for (let at = afterId + 1; at < bytes.length; at += 1) {
    if (bytes[at] !== 0x45 || bytes[at + 1] !== 0x49 || !isWhite(bytes[at - 1]!)) continue;
    const after = bytes[at + 2];
    if (after !== undefined && !isWhite(after) && !isDelimiter(after)) continue;
    if (bytes.subarray(at + 2, at + 2 + EI_LOOKAHEAD).every(isTextByte)) return at;
  }
  return bytes.length;
}

const isTextByte = (byte: number): boolean => (byte >= 0x20 && byte < 0x7f) || (byte !== 0 && isWhite(byte));
