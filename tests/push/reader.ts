/** The browser's side of push messages, by node:crypto alone: RFC 8188, RFC 8291 and RFC 8292 as they are written. */
import {
  createDecipheriv,
  createECDH,
  createHmac,
  createPublicKey,
  type ECDH,
  randomBytes,
  verify,
} from 'node:crypto';

const hmac = (key: Buffer, ...parts: (Buffer | string)[]) => {
  const mac = createHmac('sha256', key);
  for (const part of parts) mac.update(part);
  return mac.digest();
};
const ONE = Buffer.from([1]);

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

/** The words of one message (RFC 8291, 3; one record of RFC 8188). Throws when it was made for somebody else. */
export function opened(body: Buffer, { ecdh, auth }: Receiver): string {
  const salt = body.subarray(0, 16);
  const recordSize = body.readUInt32BE(16);
  const idLength = body.readUInt8(20);
  const sender = body.subarray(21, 21 + idLength);
  const sealed = body.subarray(21 + idLength);
  if (sealed.length > recordSize) throw new Error('more than one record');
  const keyInfo = Buffer.concat([Buffer.from('WebPush: info\0'), ecdh.getPublicKey(), sender]);
  const ikm = hmac(hmac(auth, ecdh.computeSecret(sender)), keyInfo, ONE);
  const prk = hmac(salt, ikm);
  const key = hmac(prk, 'Content-Encoding: aes128gcm\0', ONE).subarray(0, 16);
  const nonce = hmac(prk, 'Content-Encoding: nonce\0', ONE).subarray(0, 12);
  const decipher = createDecipheriv('aes-128-gcm', key, nonce);
  decipher.setAuthTag(sealed.subarray(-16));
  const plain = Buffer.concat([decipher.update(sealed.subarray(0, -16)), decipher.final()]);
  // RFC 8188, 2: a 2 ends the last record, and zeroes may follow it.
  const end = plain.lastIndexOf(2);
  if (end < 0 || plain.subarray(end + 1).some((byte) => byte !== 0)) throw new Error('padding');
  return plain.subarray(0, end).toString('utf8');
}

export interface Claims {
  aud: string;
  exp: number;
  sub: string;
}

/** What `Authorization: vapid …` says, once its signature holds (RFC 8292, 2 and 3; RFC 7515; ES256 of RFC 7518). */
export function vapidOf(header: string): { claims: Claims; key: string } {
  const found = /^vapid t=([^,\s]+), ?k=([^,\s]+)$/u.exec(header);
  const [token = '', key = ''] = found?.slice(1) ?? [];
  const [head = '', claims = '', signature = ''] = token.split('.');
  const { typ, alg } = JSON.parse(Buffer.from(head, 'base64url').toString('utf8'));
  if (typ !== 'JWT' || alg !== 'ES256') throw new Error(`${typ} ${alg}`);
  const point = Buffer.from(key, 'base64url');
  const jwk = {
    kty: 'EC',
    crv: 'P-256',
    x: point.subarray(1, 33).toString('base64url'),
    y: point.subarray(33).toString('base64url'),
  };
  const held = verify(
    'sha256',
    Buffer.from(`${head}.${claims}`),
    { key: createPublicKey({ key: jwk, format: 'jwk' }), dsaEncoding: 'ieee-p1363' },
    Buffer.from(signature, 'base64url'),
  );
  if (!held) throw new Error('the signature does not hold');
  return { claims: JSON.parse(Buffer.from(claims, 'base64url').toString('utf8')), key };
}
