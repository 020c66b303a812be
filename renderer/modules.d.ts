/** Style sheets are imported for their effect; the bundler takes them from there. */
declare module '*.css';

/** The text of a file as it was when the screens were built. */
declare module '*?raw' {
  const text: string;
  export default text;
}

/** What the build gathers from the packages, see .ci/package-licenses.ts. */
declare module 'panelwright:licenses' {
  export interface PackageLicense {
    readonly name: string;
    readonly version: string;
    /** By its SPDX name. */
    readonly license: string;
    readonly text: string;
  }
  const packages: readonly PackageLicense[];
  export default packages;
}
