const PREFIX = 'whsec_';

/**
 * The address of a webhook: over TLS, unless it stays on this machine.
 *
 * @throws RangeError
 */
export function webhookUrl(text: string): URL {
  const url = URL.canParse(text) ? new URL(text) : undefined;
  const here = /^(?:localhost|127(?:\.\d{1,3}){3}|\[::1\])$/u.test(url?.hostname ?? '');
  const safe = url?.protocol === 'https:' || (url?.protocol === 'http:' && here);
  if (url === undefined || !safe || url.username !== '' || url.password !== '') {
    throw new RangeError('an https address without a name or password in it');
  }
  return url;
}

/**
 * The bytes of a secret.
 *
 * @throws RangeError
 */
export function keyOf(secret: string): Buffer {
  const text = secret.startsWith(PREFIX) ? secret.slice(PREFIX.length) : '';
  const key = Buffer.from(text, 'base64');
  if (!/^[A-Za-z0-9+/]+={0,2}$/u.test(text) || key.length < 24 || key.length > 64) {
    throw new RangeError('whsec_ and the base64 of 24 to 64 random bytes');
  }
  return key;
}
