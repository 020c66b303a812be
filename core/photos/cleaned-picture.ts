export interface CleanedPicture {
  readonly bytes: Uint8Array;
  /** As it is seen, once it is turned upright. */
  readonly widthPx: number;
  readonly heightPx: number;
}
