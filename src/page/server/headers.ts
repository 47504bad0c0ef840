import type { FastifyHelmetOptions } from '@fastify/helmet';
import { STYLE_HASH } from './style.ts';

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
