/**
 * What people type for a zone that may mean several, with the zones it may mean, the likeliest
 * first. Several of these are also names of the tz database (MST, EST, CET), kept there for old
 * programs; nobody who types one means that entry.
 *
 * Source: the abbreviations in use in the tz database, release 2025c. Not in it, from memory: EST for
 * Sydney (so called until 2014), BST for Dhaka and Bougainville, SST for Singapore, AST for Riyadh, NPT, ART, CLT.
 */
const PACIFIC = ['America/Los_Angeles', 'America/Vancouver', 'America/Tijuana'];
const CENTRAL_EUROPE = [
  ...['Europe/Berlin', 'Europe/Paris', 'Europe/Rome', 'Europe/Zurich', 'Europe/Vienna'],
  ...['Europe/Madrid', 'Europe/Oslo', 'Africa/Algiers'],
];
const EASTERN_EUROPE = ['Europe/Athens', 'Europe/Helsinki', 'Europe/Bucharest', 'Africa/Cairo'];
const WESTERN_EUROPE = ['Europe/Lisbon', 'Atlantic/Canary', 'Atlantic/Madeira', 'Atlantic/Faroe'];
const EASTERN_AUSTRALIA = ['Australia/Sydney', 'Australia/Hobart'];

export const ABBREVIATIONS: Readonly<Record<string, readonly string[]>> = {
  hst: ['Pacific/Honolulu', 'America/Adak'],
  hdt: ['America/Adak'],
  akst: ['America/Anchorage'],
  akdt: ['America/Anchorage'],
  pst: [...PACIFIC, 'Asia/Manila'],
  pdt: PACIFIC,
  mst: ['America/Denver', 'America/Phoenix', 'America/Edmonton', 'America/Hermosillo'],
  mdt: ['America/Denver', 'America/Edmonton'],
  cst: [
    ...['America/Chicago', 'America/Mexico_City', 'America/Regina', 'America/Costa_Rica'],
    ...['America/Havana', 'Asia/Shanghai', 'Asia/Taipei'],
  ],
  cdt: ['America/Chicago', 'America/Winnipeg', 'America/Havana'],
  est: [
    ...['America/New_York', 'America/Toronto', 'America/Panama', 'America/Jamaica'],
    'Australia/Sydney',
  ],
  edt: ['America/New_York', 'America/Toronto'],
  ast: ['America/Halifax', 'America/Puerto_Rico', 'Atlantic/Bermuda', 'Asia/Riyadh'],
  adt: ['America/Halifax', 'Atlantic/Bermuda'],
  nst: ['America/St_Johns'],
  ndt: ['America/St_Johns'],
  gmt: ['Europe/London', 'Europe/Dublin', 'Atlantic/Reykjavik', 'Africa/Abidjan', 'UTC'],
  bst: ['Europe/London', 'Asia/Dhaka', 'Pacific/Bougainville'],
  ist: ['Asia/Kolkata', 'Europe/Dublin', 'Asia/Jerusalem'],
  idt: ['Asia/Jerusalem'],
  wet: WESTERN_EUROPE,
  west: WESTERN_EUROPE,
  cet: CENTRAL_EUROPE,
  cest: CENTRAL_EUROPE,
  met: CENTRAL_EUROPE,
  eet: EASTERN_EUROPE,
  eest: EASTERN_EUROPE,
  msk: ['Europe/Moscow'],
  sast: ['Africa/Johannesburg'],
  cat: ['Africa/Maputo'],
  eat: ['Africa/Nairobi'],
  wat: ['Africa/Lagos'],
  pkt: ['Asia/Karachi'],
  npt: ['Asia/Kathmandu'],
  hkt: ['Asia/Hong_Kong'],
  jst: ['Asia/Tokyo'],
  kst: ['Asia/Seoul'],
  sst: ['Pacific/Pago_Pago', 'Asia/Singapore'],
  awst: ['Australia/Perth'],
  acst: ['Australia/Adelaide', 'Australia/Darwin'],
  acdt: ['Australia/Adelaide'],
  aest: [...EASTERN_AUSTRALIA, 'Australia/Brisbane'],
  aedt: EASTERN_AUSTRALIA,
  nzst: ['Pacific/Auckland'],
  nzdt: ['Pacific/Auckland'],
  art: ['America/Argentina/Buenos_Aires'],
  clt: ['America/Santiago'],
  // A country and a state of the same name.
  georgia: ['Asia/Tbilisi', 'America/New_York'],
};
