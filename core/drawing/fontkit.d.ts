/** The package brings no types; font-face.ts says which part of it is used here. */
declare module 'fontkit' {
  export function create<Opened = unknown>(bytes: Uint8Array): Opened;
}
