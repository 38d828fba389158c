import compression from 'compression';
import type { RequestHandler } from 'express';
import helmet from 'helmet';

/**
 * Headers that keep pages to themselves: everything from this server only, no inline script or style, no frames.
 *
 * @param secure whether pages come encrypted; only then may browsers be told to insist on it
 */
export function protection(secure: boolean): RequestHandler {
  return helmet({
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        // pictures cut and drawn in the browser are blobs
        imgSrc: ["'self'", 'blob:', 'data:'],
        fontSrc: ["'self'"],
        connectSrc: ["'self'"],
        workerSrc: ["'self'"],
        manifestSrc: ["'self'"],
        baseUri: ["'none'"],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
      },
    },
    strictTransportSecurity: secure,
    referrerPolicy: { policy: 'same-origin' },
  });
}

/** Compresses what gains by it; events would stick in the buffer, and pictures are small already. */
export function compressed(): RequestHandler {
  return compression({
    filter: (req, res) =>
      !String(res.getHeader('Content-Type')).startsWith('text/event-stream') && compression.filter(req, res),
  });
}
