/**
 * How many properties of `value`, and of all within it, are read while `use` works with it: a measure of work that is the
 * same on every machine, however busy.
 */
export function countedReads<T extends object>(value: T, use: (value: T) => unknown): number {
  let reads = 0;
  const known = new WeakMap<object, object>();
  const watched = <O extends object>(object: O): O => {
    const before = known.get(object);
    if (before) return before as O;
    const proxy = new Proxy(object, {
      get(target, key, receiver) {
        reads += 1;
        const found: unknown = Reflect.get(target, key, receiver);
        return typeof found === 'object' && found !== null ? watched(found) : found;
      },
    });
    known.set(object, proxy);
    return proxy;
  };
  // A copy, because what is frozen may not be given out as anything else.
  use(watched(structuredClone(value)));
  return reads;
}
