/** The parts of pdf.js's picture decoders that are used here; the package has no types for them. */
declare module 'pdfjs-dist/image_decoders/pdf.image_decoders.min.mjs' {
  export const JpxImage: {
    setOptions(options: {
      readonly useWasm: boolean;
      readonly useWorkerFetch: boolean;
      readonly wasmUrl: string;
      getHandler(): { sendWithPromise(action: string, what: { filename: string }): Promise<Uint8Array> };
    }): void;
    readonly instance: {
      decode(
        data: Uint8Array,
        options: { readonly numComponents: number },
      ): Promise<Uint8Array | Uint8ClampedArray>;
    };
  };
}
