export interface PictureSize {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Its size is that of the picture as it is seen, once it is turned upright. */
export interface CleanedPicture extends PictureSize {
  readonly bytes: Uint8Array;
}
