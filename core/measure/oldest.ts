/** Lets go of what was put into a map first: what is remembered must not grow with the work. */
export function forgetOldest<K>(kept: Map<K, unknown>): void {
  for (const key of kept.keys()) {
    kept.delete(key);
    return;
  }
}
