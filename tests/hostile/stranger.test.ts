/**
 * A stranger in the server, by the ways that are open to anybody who may write there: commands, presses of what others
 * were offered, made-up ids, mails and pages with guessed secrets. OWASP ASVS 5.0: V8.2.1, V8.2.2 (functions and
 * data for who is permitted), V8.3.1 (held where it can't be got round), V14.2.6 (no more is shown than is needed).
 */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { commands } from '../../commands/index.ts';
import type { RawArgs } from '../../src/app/command.ts';
import { findSub } from '../../src/app/command.ts';
import { rightsOf } from '../../src/app/rights.ts';
import { Desk } from '../../src/inbox/desk.ts';
import { readMail } from '../../src/inbox/incoming.ts';
import type { Button, Reply } from '../../src/say/reply.ts';
import { ask } from '../commands/ask.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

/** Names as the platform lets them be, at their worst. */
const NAMES = [
  '@everyone',
  'tagline',
  'Mara',
  '**Mara** <@1>',
  '\u202eeliram',
  'Dana\u200b',
  '`/trip down`',
  'x'.repeat(32),
];
const MALLORY = '666000000000000001';
/** What only the roster may read; set below. */
const SECRETS = [
  '+47 000 77',
  'asthma',
  'dana@example.org',
  'red jacket',
  'XY 12345',
  'lot behind',
];

let w: World;
let channel: string;
let trip: string;
beforeEach(async () => {
  w = await world({ around: () => ({ inbox: 'words+*@tagline.example.org' }) });
  await openDemo(w);
  for (const line of [
    '/roster edit who:Mara phone:"+47 000 77" medical:asthma clothing:"red jacket"',
    '/overdue details vehicle:"XY 12345" parked:"the lot behind the mill"',
    '/checkin plan down:18:00 callout:23:00',
    '/trip depart',
    '/pitch done number:1',
  ]) {
    const reply = await w.say('mara', line);
    if (reply.refused) throw new Error(`${line}\n${text(reply)}`);
  }
  ({ channel, id: trip } = (await w.trip()).row);
});
afterEach(() => w.close());

const as = (path: string, raw: RawArgs = {}, more: object = {}): Promise<Reply> =>
  ask(w, { user: MALLORY, name: 'Mallory', channel, guild: 'g-1', ...more }, path, raw);
const seq = async () => (await w.store.trip(trip))?.seq;

/** Silent until the rescue service is to be called. */
async function alarm(): Promise<void> {
  for (const at of ['18:00', '18:30', '20:00', '23:00']) {
    w.at(`2031-06-12 ${at}`);
    await w.tick();
  }
}

/** Everything that was offered to anybody so far. */
const offered = (): Button[] => w.told.flatMap((t) => t.envelope.message.buttons ?? []);

function secretsIn(reply: Reply): string[] {
  const files = (reply.files ?? []).map((f) => Buffer.from(f.bytes).toString('latin1'));
  const said = [text(reply), ...(reply.after ?? []).map(String), ...files].join('\n');
  return SECRETS.filter((secret) => said.includes(secret));
}

describe('ASVS V8.2.1, V8.3.1, V8.3.3: presses', () => {
  test('of every button that anybody was offered change nothing', async () => {
    await w.say('mara', '/trouble report what:"Ines fell, leg hurt"');
    await alarm();
    const before = await seq();
    const buttons = offered();
    expect(new Set(buttons.map((b) => b.press.path)).size).toBeGreaterThan(3);
    for (const { press } of buttons) {
      const reply = await as(press.path, press.options, { trip });
      expect([press.path, reply.refused, secretsIn(reply)]).toEqual([press.path, true, []]);
    }
    expect(await seq()).toBe(before);
  });

  test('with made-up ids change nothing, from the channel, another one, another server or a direct message', async () => {
    await alarm();
    const before = await seq();
    const places = [
      { channel, guild: 'g-1' },
      { channel: 'c-9', guild: 'g-9' },
      { channel: 'dm-9', guild: undefined, direct: true },
    ];
    const tries: [string, RawArgs][] = [
      ...Array.from({ length: 30 }, (_, n): [string, RawArgs] => ['overdue ack', { alarm: n }]),
      ['overdue resolve', { how: 'fine', alarm: 20 }],
      ['overdue resolve', { how: 'called' }],
      ['overdue agree', { entry: 1 }],
      ['trip purge', { sure: trip }],
      ['trip close', { sure: true }],
      ['trip down', { sure: true }],
      ['checkin contact', { answer: 'yes', for: 'Dana', code: 'AAAA-AAAA' }],
      ['checkin contact', { answer: 'no', for: 'Dana', code: '' }],
      ['checkin plan', { callout: 'none', plan: 1 }],
      ['pitch strike', { entry: 3 }],
      ['overdue link', { for: 'Dana' }],
      ['log export', {}],
      ['privacy', { erase: true }],
    ];
    for (const place of places)
      for (const [path, raw] of tries) {
        const reply = await as(path, raw, { ...place, trip });
        expect([path, secretsIn(reply)]).toEqual([path, []]);
      }
    expect(await seq()).toBe(before);
    expect((await w.store.trip(trip))?.status).toBe('open');
  });
});

test('ASVS V14.2.6: nothing that a stranger may look at tells what is the roster’s', async () => {
  // They are there for whoever may read them.
  const sheet = await ask(w, { user: 'local:mara', channel }, 'overdue sheet');
  expect(secretsIn(sheet).length).toBeGreaterThan(3);
  const leaks: string[] = [];
  for (const stage of ['out', 'overdue']) {
    if (stage === 'overdue') await alarm();
    for (const { path, rights } of rightsOf(commands)) {
      if (rights.stranger !== 'yes' || path === 'trip open') continue;
      const options = findSub(commands, path)?.options ?? {};
      const required = Object.entries(options).filter(([, def]) => def.required === true);
      const raw = Object.fromEntries(required.map(([name]) => [name, 'x']));
      for (const found of secretsIn(await as(path, raw))) leaks.push(`${stage} /${path}: ${found}`);
    }
  }
  expect(leaks).toEqual([]);
});

test.each(NAMES)(
  'a stranger called %s is nobody of the roster, and opens a trip like anybody',
  async (name) => {
    const before = await seq();
    for (const path of ['checkin ok', 'trip down', 'overdue ack', 'trip close'])
      expect((await as(path, {}, { name })).refused, path).toBe(true);
    expect(await seq()).toBe(before);
    const opened = await as('trip open', { name, zone: 'Europe/Oslo' }, { name, channel: 'c-2' });
    // It may be asked back, never a fault; and it stands in the list like any other.
    expect(opened.code).not.toBe('fault');
    expect(text(await as('trip show', {}, { channel: 'c-2' }))).not.toContain('Reference R');
  },
);

test('ASVS V8.2.2: mails with guessed secrets are nobody’s, whoever they seem to come from', async () => {
  const { mailAddresses: addresses } = w.app;
  if (addresses === undefined) throw new Error('no addresses');
  const answered: string[] = [];
  const desk = new Desk({
    app: w.app,
    addresses,
    email: async ({ address }) => {
      answered.push(address);
      return { ok: true, receipt: 'x' };
    },
  });
  await alarm();
  const before = await seq();
  const real = await addresses.address(trip, { person: 'dana', to: 'dana@example.org' });
  const at = real.indexOf('@');
  const digits = '0123456789abcdef';
  const guesses = [
    // The right one, but for its last digit; cut; longer; of a trip that isn't there.
    ...[...digits].map((d) => real.slice(0, at - 1) + d + real.slice(at)).filter((g) => g !== real),
    real.slice(0, at - 4) + real.slice(at),
    `${real.slice(0, at)}0${real.slice(at)}`,
    real.replace(trip, 'zzzzzzzz'),
    ...Array.from({ length: 100 }, (_, n) =>
      real.replace(/\.[0-9a-f]{24}@/u, `.${(n * 7919).toString(16).padStart(24, '0')}@`),
    ),
  ];
  for (const to of guesses) {
    expect(await desk.knows([to]), to).toBe('nobody');
    const head = [
      'From: Dana <dana@example.org>',
      `To: ${to}`,
      `Message-ID: <${to}>`,
      '',
      'They are well',
    ];
    expect(await desk.take(await readMail(new TextEncoder().encode(head.join('\r\n'))))).toBe(
      'ignored',
    );
  }
  expect([await seq(), answered]).toEqual([before, []]);
  expect(await desk.knows([real])).toBe('now');
});

test('V2.2.1: what a button carries is bounded as well: a range of pitches without end makes nothing', async () => {
  for (const [path, args] of [
    ['pitch start', { from: -1_000_000_000, unknown: true }],
    ['pitch done', { from: Number.MIN_SAFE_INTEGER, number: 3 }],
    ['pitch strike', { entry: 1, until: 1e15 }],
  ] as const) {
    const from = { user: 'local:mara', name: 'Mara', channel };
    expect([path, (await ask(w, from, path, args)).code]).toEqual([path, 'unreadable-options']);
  }
});
