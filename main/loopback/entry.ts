/**
 * Who may use the host. An address holds a token that works once; the page exchanges it for a key, which it keeps for
 * its tab and sends with each request. There is no cookie: a browser sends cookies to every server on this machine,
 * whatever its port.
 */
import { randomBytes } from 'node:crypto';
import { sha256Hex } from '../files/sha256.ts';

const SECRET_BYTES = 32;
/** Addresses that were not used yet; the oldest are dropped. */
const MOST_TOKENS = 20;
const MOST_KEYS = 1000;

export class Entry {
  // Hashes, so that the time that a comparison takes says nothing of what is compared.
  readonly #tokens = new Set<string>();
  readonly #keys = new Set<string>();

  /** A token for one address. */
  makeToken(): string {
    return addSecret(this.#tokens, MOST_TOKENS);
  }

  /** The key of a new tab; undefined where the token is unknown or was used. */
  exchange(token: string): string | undefined {
    return this.#tokens.delete(hashed(token)) ? addSecret(this.#keys, MOST_KEYS) : undefined;
  }

  isKey(offered: string): boolean {
    return this.#keys.has(hashed(offered));
  }
}

function addSecret(to: Set<string>, most: number): string {
  const secret = randomBytes(SECRET_BYTES).toString('hex');
  to.add(hashed(secret));
  for (const oldest of to) {
    if (to.size <= most) break;
    to.delete(oldest);
  }
  return secret;
}

const hashed = (secret: string): string => sha256Hex(new TextEncoder().encode(secret));
