/**
 * What the screens may load: their own scripts, styles, fonts and pictures; pictures also from memory, since
 * tiles of the artwork arrive as bytes. No inline script, no frame, no form, no other host.
 */
export const CONTENT_SECURITY_POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "font-src 'self'",
  "img-src 'self' blob: data:",
  "connect-src 'self'",
  "worker-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
  "object-src 'none'",
].join('; ');
