/**
 * The browser's side of push messages, by libraries that have no part in sending them: one for the encoding of
 * RFC 8188, one for the token of RFC 8292. The keys are agreed by node:crypto as RFC 8291 is written.
 */
import { createECDH, type ECDH, hkdfSync, randomBytes } from 'node:crypto';
import { decrypt, encodings } from '@apeleghq/rfc8188';
import { importJWK, jwtVerify } from 'jose';

/** What a browser keeps of a subscription. */
export interface Receiver {
  ecdh: ECDH;
  auth: Buffer;
}

/** A browser that has just subscribed. */
export function receiver(): Receiver {
  const ecdh = createECDH('prime256v1');
  ecdh.generateKeys();
  return { ecdh, auth: randomBytes(16) };
}

/** The two keys as a subscription's JSON has them. */
export function keysOf({ ecdh, auth }: Receiver) {
  return {
    p256dh: ecdh.getPublicKey().toString('base64url'),
    auth: auth.toString('base64url'),
  };
}

/** RFC 8291, 4: one record, which need be no longer than this with its header. */
const RECORD_MAX = 4096;

/** The words of one message. Rejects when it was made for somebody else. */
export async function opened(body: Buffer, { ecdh, auth }: Receiver): Promise<string> {
  // RFC 8291, 3.3 and 3.4: the sender's key is the id of the key in the header of RFC 8188.
  const ikm = async (sender: ArrayBufferLike) => {
    const theirs = Buffer.from(sender);
    const info = Buffer.concat([Buffer.from('WebPush: info\0'), ecdh.getPublicKey(), theirs]);
    return hkdfSync('sha256', ecdh.computeSecret(theirs), auth, info, 32);
  };
  // RFC 8291, 4: a single record.
  if (body.length - 21 - body.readUInt8(20) > body.readUInt32BE(16)) throw new Error('records');
  const sealed = new Blob([new Uint8Array(body)]).stream();
  let plain = '';
  const text = new TextDecoder();
  for await (const part of decrypt(encodings.aes128gcm, sealed, ikm, RECORD_MAX))
    plain += text.decode(new Uint8Array(part), { stream: true });
  return plain + text.decode();
}

export interface Claims {
  aud: string;
  exp: number;
  sub: string;
}

/**
 * What `Authorization: vapid …` says, once its signature holds (RFC 8292, 2 and 3).
 *
 * @param atS when it is read, in seconds since 1970
 */
export async function vapidOf(
  header: string,
  atS = Date.now() / 1000,
): Promise<{ claims: Claims; key: string }> {
  const found = /^vapid t=([^,\s]+), ?k=([^,\s]+)$/u.exec(header);
  const [token = '', key = ''] = found?.slice(1) ?? [];
  // RFC 8292, 3.2: an uncompressed point.
  const point = Buffer.from(key, 'base64url');
  const jwk = {
    kty: 'EC',
    crv: 'P-256',
    x: point.subarray(1, 33).toString('base64url'),
    y: point.subarray(33).toString('base64url'),
  };
  const { payload } = await jwtVerify<Claims>(token, await importJWK(jwk, 'ES256'), {
    algorithms: ['ES256'],
    typ: 'JWT',
    currentDate: new Date(atS * 1000),
    requiredClaims: ['aud', 'exp', 'sub'],
  });
  return { claims: { aud: payload.aud, exp: payload.exp, sub: payload.sub }, key };
}
