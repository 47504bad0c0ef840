import type { FastifyHelmetOptions } from '@fastify/helmet';
import { STYLE_HASH } from './style.ts';

/** The same for a page on which push messages are turned on: our two scripts run there. */
export const PUSH_POLICY = [
  "default-src 'none'",
  `style-src ${STYLE_HASH}`,
  "font-src 'self'",
  'img-src data:',
  "script-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "form-action 'self'",
  "base-uri 'none'",
  "frame-ancestors 'none'",
].join(';');

/**
 * Nothing is loaded from anywhere else, no script runs, nobody frames it, and the address, which is
 * the secret, is told to nobody.
 */
export const securityHeaders: FastifyHelmetOptions = {
  contentSecurityPolicy: {
    useDefaults: false,
    directives: {
      defaultSrc: ["'none'"],
      styleSrc: [STYLE_HASH],
      fontSrc: ["'self'"],
      imgSrc: ['data:'],
      formAction: ["'self'"],
      baseUri: ["'none'"],
      frameAncestors: ["'none'"],
    },
  },
  referrerPolicy: { policy: 'no-referrer' },
  frameguard: { action: 'deny' },
  crossOriginResourcePolicy: { policy: 'same-origin' },
  crossOriginOpenerPolicy: { policy: 'same-origin' },
  // Only for two years of https when it is reached that way; browsers ignore it on plain http.
  strictTransportSecurity: { maxAge: 63_072_000 },
};
