import { lookup } from 'node:dns';
import { BlockList, isIPv6, type LookupFunction } from 'node:net';

/** What is no address of the open internet (IANA's special-purpose registries, RFC 6890). */
const OURS = new BlockList();
for (const [net, prefix] of [
  ['0.0.0.0', 8],
  ['10.0.0.0', 8],
  ['100.64.0.0', 10],
  ['127.0.0.0', 8],
  ['169.254.0.0', 16],
  ['172.16.0.0', 12],
  ['192.0.0.0', 24],
  ['192.0.2.0', 24],
  ['192.88.99.0', 24],
  ['192.168.0.0', 16],
  ['198.18.0.0', 15],
  ['198.51.100.0', 24],
  ['203.0.113.0', 24],
  ['224.0.0.0', 4],
  ['240.0.0.0', 4],
] as const) {
  OURS.addSubnet(net, prefix, 'ipv4');
}
// Only 2000::/3 is given out for the open internet; of that these are not.
const OPEN6 = new BlockList();
OPEN6.addSubnet('2000::', 3, 'ipv6');
for (const [net, prefix] of [
  ['2001::', 23],
  ['2001:db8::', 32],
  ['2002::', 16],
  ['3fff::', 20],
] as const) {
  OURS.addSubnet(net, prefix, 'ipv6');
}

/** Whether an address can be reached from anywhere, and is not of this machine or the network round it. */
export function isPublic(address: string): boolean {
  if (!isIPv6(address)) return !OURS.check(address, 'ipv4');
  return OPEN6.check(address, 'ipv6') && !OURS.check(address, 'ipv6');
}

/** Looks names up as Node does, and knows only those that are on the open internet. */
export const lookupPublic: LookupFunction = (name, options, done) => {
  lookup(name, { ...options, all: true }, (error, found) => {
    const open = (found ?? []).filter(({ address }) => isPublic(address));
    const [first] = open;
    if (error !== null || first === undefined) {
      const none = Object.assign(new Error('no public address'), { code: 'ENOTFOUND' });
      done(error ?? none, '', 4);
    } else if (options.all === true) done(null, open);
    else done(null, first.address, first.family);
  });
};
