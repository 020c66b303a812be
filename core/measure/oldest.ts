/** Removes the oldest entries of a map, so that remembered values do not grow without limit. */
export function forgetOldest<K>(kept: Map<K, unknown>): void {
  for (const key of kept.keys()) {
    kept.delete(key);
    return;
  }
}
