/** Style sheets are imported for their effect; the bundler takes them from there. */
declare module '*.css';
