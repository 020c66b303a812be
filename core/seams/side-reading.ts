import { type LetteringBox, letteringBoxes } from './lettering-boxes.ts';
import type { PictureEnergy } from './picture-energy.ts';
import { pictureEnergyFromRaster } from './quiet-lines.ts';
import type { SideRaster } from './raster.ts';

/** Data that the planner takes from a rendering of a side. It depends only on the artwork, so plans can share it. */
export interface SideReading {
  readonly energy: PictureEnergy;
  readonly lettering: readonly LetteringBox[];
}

/** Reads a rendering. `tick` is called during the work and may throw to end it. */
export const sideReading = (raster: SideRaster, tick: () => void = () => {}): SideReading => ({
  energy: pictureEnergyFromRaster(raster, tick),
  lettering: letteringBoxes(raster, tick),
});
