import { type LetteringBox, letteringBoxes } from './lettering-boxes.ts';
import type { PictureEnergy } from './picture-energy.ts';
import { pictureEnergyFromRaster } from './quiet-lines.ts';
import type { SideRaster } from './raster.ts';

/** What a rendering of a side says to the planner. It hangs on the artwork alone, so that plans can share it. */
export interface SideReading {
  readonly energy: PictureEnergy;
  readonly lettering: readonly LetteringBox[];
}

/** Reads a rendering. `tick` is called as it goes on, and may throw to end it. */
export const sideReading = (raster: SideRaster, tick: () => void = () => {}): SideReading => ({
  energy: pictureEnergyFromRaster(raster, tick),
  lettering: letteringBoxes(raster, tick),
});
