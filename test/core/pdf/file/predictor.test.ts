import fc from 'fast-check';
import { expect, it } from 'vitest';
import { addBytes } from '../../../../core/pdf/file/predictor.ts';

it('bytes are added each to its own, wherever they begin', () => {
  const place = fc.nat(5);
  fc.assert(
    fc.property(fc.array(fc.tuple(fc.nat(255), fc.nat(255))), place, place, (pairs, before, beforeOther) => {
      const to = new Uint8Array(before + pairs.length + 3).subarray(before, before + pairs.length);
      const from = new Uint8Array(beforeOther + pairs.length).subarray(beforeOther);
      to.set(pairs.map(([a]) => a));
      from.set(pairs.map(([, b]) => b));
      const rest = new Uint8Array(to.buffer, before + pairs.length);
      addBytes(to, from);
      expect([...to]).toEqual(pairs.map(([a, b]) => (a + b) % 256));
      expect([...rest]).toEqual([0, 0, 0]);
    }),
  );
});
