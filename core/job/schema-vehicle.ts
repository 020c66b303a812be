/** The vehicles of a job. */

import { z } from 'zod';
import { id, name, text } from './schema-parts.ts';

export const VehicleKind = z.enum(['van', 'truck', 'trailer', 'box-body', 'bus', 'car', 'other']);
export type VehicleKind = z.infer<typeof VehicleKind>;

/** One vehicle, trailer or body. */
export const VehicleUnit = z.strictObject({
  /** How its fleet names it. */
  unitNumber: name,
  licensePlate: text,
  /** Of a fleet: what whoever installs this one has to know. */
  installNote: text.optional(),
  /** Of a fleet: how many of its panels were counted where it is installed. */
  panelsArrived: z.number().int().min(0).max(10_000).optional(),
});
export type VehicleUnit = z.infer<typeof VehicleUnit>;

export const MAX_UNITS = 500;

export const VehicleCode = z.string().regex(/^[A-Z]{1,4}$/, 'use 1 to 4 capital letters');

/** Vehicles of one shape: one layout serves all of them, and its panels are printed once for each. */
export const Vehicle = z.strictObject({
  id,
  kind: VehicleKind,
  /** Leads labels and file names where the job has several types of vehicle; then each has one of its own. */
  code: VehicleCode.optional(),
  /** What people call the type, where its kind does not say enough. */
  name: name.optional(),
  units: z.array(VehicleUnit).min(1).max(MAX_UNITS),
});
export type Vehicle = z.infer<typeof Vehicle>;
