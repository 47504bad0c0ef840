import { createECDH, createHmac } from 'node:crypto';
import { isPublicName } from '../public-name.ts';

/** A key pair on P-256 by which push services know us (RFC 8292), base64url. */
export interface PushKeys {
  publicKey: string;
  privateKey: string;
}

/** The order of P-256, less one: private keys lie below it (FIPS 186-5, A.2.1; SEC 2, 2.4.2). */
const ORDER = BigInt('0xffffffff00000000ffffffffffffffffbce6faada7179e84f3b9cac2fc632551');

/**
 * The keys of this installation, made of its secret: every process and every start has the same, and
 * nothing more has to be kept.
 */
export function pushKeys(secret: Uint8Array): PushKeys {
  for (let n = 0; ; n++) {
    const d = createHmac('sha256', secret).update(`push ${n}`, 'utf8').digest();
    const number = BigInt(`0x${d.toString('hex')}`);
    // Hardly ever: the order is a little below 2^256.
    if (number === 0n || number >= ORDER) continue;
    const pair = createECDH('prime256v1');
    pair.setPrivateKey(d);
    return {
      publicKey: pair.getPublicKey().toString('base64url'),
      privateKey: d.toString('base64url'),
    };
  }
}

/**
 * Whether an address that a browser names may be a push service's: over TLS, by a public name and the usual
 * port. Whoever writes it may be anybody, so nothing of this machine or its network is meant by it.
 */
export function isPushService(endpoint: string): boolean {
  const url = URL.canParse(endpoint) && endpoint.length <= 1000 ? new URL(endpoint) : undefined;
  if (url?.protocol !== 'https:' || url.port !== '') return false;
  if (url.username !== '' || url.password !== '') return false;
  return isPublicName(url.hostname);
}
