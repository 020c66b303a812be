/** The vehicles of a job. */

import { z } from 'zod';
import { id, name, text } from './schema-parts.ts';

export const VehicleKind = z.enum(['van', 'truck', 'trailer', 'box-body', 'bus', 'car', 'other']);
export type VehicleKind = z.infer<typeof VehicleKind>;

/** One vehicle, trailer or body. */
export const VehicleUnit = z.strictObject({
  /** Its number in the fleet. */
  unitNumber: name,
  licensePlate: text,
  /** In a fleet: a note for the installers of this vehicle. */
  installNote: text.optional(),
  /** In a fleet: number of its panels counted at the place of installation. */
  panelsArrived: z.number().int().min(0).max(10_000).optional(),
});
export type VehicleUnit = z.infer<typeof VehicleUnit>;

export const MAX_UNITS = 500;

export const VehicleCode = z.string().regex(/^[A-Z]{1,4}$/, 'use 1 to 4 capital letters');

/** Vehicles of one shape: one layout serves all of them, and its panels are printed once for each vehicle. */
export const Vehicle = z.strictObject({
  id,
  kind: VehicleKind,
  /** Begins labels and file names in a job with several types of vehicle; each type then needs a different one. */
  code: VehicleCode.optional(),
  /** Name of the type, where its kind is not enough. */
  name: name.optional(),
  units: z.array(VehicleUnit).min(1).max(MAX_UNITS),
});
export type Vehicle = z.infer<typeof Vehicle>;
