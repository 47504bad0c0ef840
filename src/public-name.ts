import { isIP } from 'node:net';

/** Whether a host of a URL is a name that may be of the open internet: no address, and none of a name kept for a network's own. */
export function isPublicName(host: string): boolean {
  const isName = isIP(host.replace(/^\[|\]$/gu, '')) === 0 && host.includes('.');
  return isName && !/(?:^|\.)(?:localhost|local|internal|home\.arpa|test|invalid)\.?$/u.test(host);
}
