/** The package has no types; font-face.ts lists the parts used here. */
declare module 'fontkit' {
  export function create<Opened = unknown>(bytes: Uint8Array): Opened;
}
