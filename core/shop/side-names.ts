/** What a shop calls the two long sides of a vehicle, and the codes that begin the numbers of their panels. */
import { z } from 'zod';

export const SideCode = z.string().regex(/^[A-Z0-9]{1,6}$/, 'use 1 to 6 capital letters or digits');

const sideName = z.strictObject({ name: z.string().min(1).max(200), code: SideCode });

/** Left and right as the driver sees them, facing forward. */
const sidePair = z
  .strictObject({ left: sideName, right: sideName })
  .refine(({ left, right }) => left.code !== right.code, 'give the two sides two codes');
export type SidePair = z.infer<typeof sidePair>;

export const SideNames = z.strictObject({
  vehicle: sidePair,
  /** Trailers and buses, which have their doors at the curb. */
  trailer: sidePair,
});
export type SideNames = z.infer<typeof SideNames>;

const LEFT_RIGHT: SidePair = {
  left: { name: 'Left side', code: 'LH' },
  right: { name: 'Right side', code: 'RH' },
};

export const LEFT_RIGHT_SIDES: SideNames = { vehicle: LEFT_RIGHT, trailer: LEFT_RIGHT };

export const DRIVER_PASSENGER_SIDES: SideNames = {
  vehicle: {
    left: { name: 'Driver side', code: 'DS' },
    right: { name: 'Passenger side', code: 'PS' },
  },
  trailer: {
    left: { name: 'Street side', code: 'SS' },
    right: { name: 'Curb side', code: 'CS' },
  },
};
