/** The contact's side from invitation to stand-down by push alone, and by a text message alone; nobody in the chat helps. */
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { FastifyInstance } from 'fastify';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { watchParts } from '../../../src/app/watch/parts.ts';
import { Watch } from '../../../src/delivery/loop.ts';
import { createNtfy } from '../../../src/delivery/ntfy.ts';
import type { Envelope } from '../../../src/delivery/ports.ts';
import { createPush } from '../../../src/delivery/push.ts';
import { pushKeys } from '../../../src/delivery/push-keys.ts';
import { createWebhook } from '../../../src/delivery/webhook.ts';
import { buildPageServer } from '../../../src/page/server/server.ts';
import { SECRET } from '../../helpers/secret.ts';
import { text } from '../../helpers/world.ts';
import { ntfyServer } from '../../ntfy/server.ts';
import { keysOf, opened, receiver } from '../../push/reader.ts';
import { pushService } from '../../push/service.ts';
import { type OnPage, onPage } from '../server/trip-on-page.ts';
import { type Visited, visit } from './visitor.ts';

const GATEWAY = `whsec_${Buffer.alloc(32, 3).toString('base64')}`;
const keys = pushKeys(SECRET);

/** One message as it came: what a lock screen or a text shows, and where its link leads. */
interface Got {
  text: string;
  path: string;
}

let on: OnPage;
let server: FastifyInstance;
let watch: Watch;
let got: Got[];
let channel: string[];
const closing: (() => Promise<void>)[] = [];

beforeEach(() => {
  got = [];
  channel = [];
});
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

async function scene(ways: Partial<ReturnType<typeof watchParts>['ways']>) {
  watch = new Watch(
    watchParts(on.app, {
      owner: 'test/2/2',
      ways: {
        ...ways,
        channel: async (_to: string, { message }: Envelope) => {
          channel.push(message.subject);
          return { ok: true, receipt: 'x' };
        },
      },
    }),
  );
  server = await buildPageServer(on.settings);
  closing.push(() => server.close());
  // The contact of the demo goes: whoever comes is the only one at home.
  await say('/roster remove who:Dana');
}

async function say(line: string): Promise<string> {
  const reply = await on.w.say('mara', line);
  if (reply.refused && (reply.buttons ?? []).length === 0)
    throw new Error(`${line}: ${text(reply)}`);
  return text(reply);
}

const at = async (local: string) => {
  on.w.at(local);
  await watch.tick();
};

/** The newest message, once there is one. */
function last(): Got {
  const one = got.at(-1);
  if (one === undefined) throw new Error('nothing came');
  return one;
}
const opening = (): Promise<Visited> => visit(server, last().path);

/** From the departure to the stand-down, with nothing but what comes by this one way and the page behind its link. */
async function fromDepartureToStandDown(): Promise<void> {
  await say('/checkin drill');
  await watch.tick();
  expect(last().text).toContain('REHEARSAL. Nobody is overdue.');
  await (await opening()).press("I've got it");
  expect((await on.w.trip()).state.watch.drills.at(-1)?.ackedAtMs).toBeDefined();

  await say('/trip depart');
  await say('/checkin plan once:18:00 down:23:00 callout:"tomorrow 06:00"');
  await watch.tick();
  await at('2031-08-23 18:01');
  await at('2031-08-23 18:31');
  expect(last().text).toContain('no word yet');
  await (await opening()).press("I've got it");
  await at('2031-08-23 20:01');
  expect(last().text).toContain('overdue, please act');
  await (await opening()).press("I've got it");

  await at('2031-08-24 06:01');
  const alarm = await opening();
  expect(last().text).toContain('call 112 now');
  expect(alarm.html).toContain('href="tel:112"');
  expect(alarm.text).toContain('Read this out');
  await alarm.press('I have called the rescue service');
  await watch.tick();
  expect(channel.at(-1)).toContain('the rescue service was called');

  const page = await opening();
  on.w.at('2031-08-24 07:10');
  await page.press('They are well', { how: 'reached', words: 'all well, slept on a ledge' });
  await watch.tick();
  expect(last().text).toContain('alarm over');
  await (await opening()).press('The rescue service knows');
  await watch.tick();
  expect(last().text).toContain('the rescue service knows');
  await say('/pitch done number:1 at:05:00');
  await say('/trip down');
  await on.w.say('mara', '[Yes, everyone is down]');
  await watch.tick();
  expect(last().text).toContain('everyone is down');
}

/** Short enough for its place, with a day at every time, no climber's word unexplained, no exclamation mark. */
function readable({ text: words }: Got): void {
  expect(words).not.toMatch(/!|\/[a-z]+ [a-z]|undefined|attached|The file|\be-?mail\b/u);
  for (const [time] of words.matchAll(/(?<![:\d])(?:\w+ )?\d{1,2}:\d{2}(?! \(|\.? ?of)/gu)) {
    if (!/^(?:UTC)/u.test(time) && !words.includes(`UTC+${time}`))
      expect(time).toMatch(/^(?:Sat|Sun|Mon) /u);
  }
}

describe('by push alone', () => {
  it('from the link that the party hands over to the rescue service’s stand-down', async () => {
    const service = await pushService();
    closing.push(() => service.close());
    on = await onPage(undefined, { push: { publicKey: keys.publicKey, takes: () => true } });
    closing.push(() => on.close());
    const { push } = createPush(
      { keys, subject: 'https://tagline.example.org', loopback: true },
      on.w.clock,
    );
    const edda = receiver();
    await scene({
      async push(to, envelope) {
        const sent = await push(to, envelope);
        const shown = JSON.parse(await opened(service.taken.at(-1)?.body ?? Buffer.alloc(0), edda));
        got.push({ text: `${shown.title}\n${shown.body}`, path: new URL(shown.url).pathname });
        return sent;
      },
    });
    const link = /https:\S+/u.exec(await say('/roster add name:Edda role:contact ways:push'))?.[0];
    await watch.tick();
    expect(got).toEqual([]);
    const path = new URL(link ?? '').pathname;
    const browser = { endpoint: `${service.url}/edda`, ...keysOf(edda) };
    await (await visit(server, path)).press('Yes, tell me on this device', browser);
    await fromDepartureToStandDown();
    for (const one of got) {
      readable(one);
      expect(one.text.length).toBeLessThanOrEqual(550);
    }
    if (process.env.SHOW_TEXTS) process.stdout.write(got.map((g) => g.text).join('\n\n'));
  });

  it('a browser that is gone is dropped; the party hears it at once, and that nobody is told now', async () => {
    const service = await pushService();
    closing.push(() => service.close());
    on = await onPage(undefined, { push: { publicKey: keys.publicKey, takes: () => true } });
    closing.push(() => on.close());
    await scene(
      createPush({ keys, subject: 'https://tagline.example.org', loopback: true }, on.w.clock),
    );
    await say('/roster add name:Edda role:contact email:edda@example.org ways:"push, e-mail"');
    const { row } = await on.w.trip();
    const endpoint = `${service.url}/edda`;
    await on.app.records.write({
      trip: row.id,
      key: 'on',
      nowMs: on.w.clock.wallMs(),
      by: { id: 'contact:edda', name: 'Edda' },
      decide: () => [
        {
          kind: 'contact.device',
          data: { person: 'edda', to: 'd1', endpoint, ...keysOf(receiver()) },
        },
        {
          kind: 'contact.answered',
          data: { person: 'edda', way: 'push', to: 'd1', answer: 'yes' },
        },
      ],
    });
    service.answer((response) => void response.writeHead(410).end());
    await say('/trip depart');
    await watch.tick();
    expect(service.taken).toHaveLength(1);
    expect((await on.w.trip()).state.watch.devices).toEqual([]);
    expect(channel).toContain('Harrow Tower: Edda is not reached by push');
    // Dropped is dropped: nothing more is sent there.
    await at('2031-08-24 12:00');
    expect(service.taken).toHaveLength(1);
  });
});

describe('by ntfy alone', () => {
  it('from the link that the party hands over to the rescue service’s stand-down', async () => {
    const phone = await ntfyServer();
    closing.push(() => phone.close());
    const servers = ['https://ntfy.example.org'] as const;
    on = await onPage(undefined, { ntfy: { servers: [...servers] } });
    closing.push(() => on.close());
    const { ntfy } = createNtfy({ servers, instead: phone.url }, on.w.clock);
    const loud: [string, number][] = [];
    await scene({
      async ntfy(to, envelope) {
        const sent = await ntfy(to, envelope);
        const {
          title = '',
          message = '',
          click = '',
          priority = 0,
          actions,
        } = phone.taken.at(-1)?.body ?? {};
        expect(actions).toBeUndefined();
        loud.push([title, priority]);
        got.push({ text: `${title}\n${message}`, path: new URL(click).pathname });
        return sent;
      },
    });
    const link = /https:\S+/u.exec(await say('/roster add name:Edda role:contact ways:ntfy'))?.[0];
    const asked = await visit(server, new URL(link ?? '').pathname);
    await asked.press('Send a message there', { topic: 'edda-wall-phone' });
    await watch.tick();
    expect((await (await opening()).press('Yes, I will')).text).toContain('Edda is contact now.');
    await fromDepartureToStandDown();
    expect(phone.wrong).toEqual([]);
    const priority = (words: string) => loud.find(([title]) => title.includes(words))?.[1];
    expect(
      ['rehearsal', 'no word yet', 'overdue, please act', 'call 112 now', 'everyone is down'].map(
        priority,
      ),
    ).toEqual([5, 3, 4, 5, 3]);
    // What anybody typed is read on the page alone.
    expect(got.some((one) => one.text.includes('slept on a ledge'))).toBe(false);
    expect(
      got.some((one) => one.text.includes('were heard from, Sun 07:10: “…” (from Edda)')),
    ).toBe(true);
    for (const one of got) {
      if (!one.text.includes('Will you be')) readable(one);
      expect(one.text.length).toBeLessThanOrEqual(550);
    }
    if (process.env.SHOW_TEXTS) process.stdout.write(got.map((g) => g.text).join('\n\n'));
  });
});

describe('a contact who presses nothing', () => {
  it('gets every step by ntfy all the same, each once it is due, and the reminders', async () => {
    const phone = await ntfyServer();
    closing.push(() => phone.close());
    on = await onPage(undefined, { ntfy: { servers: ['https://ntfy.example.org'] } });
    closing.push(() => on.close());
    await scene(
      createNtfy({ servers: ['https://ntfy.example.org'], instead: phone.url }, on.w.clock),
    );
    const link = /https:\S+/u.exec(await say('/roster add name:Edda role:contact ways:ntfy'))?.[0];
    const asked = await visit(server, new URL(link ?? '').pathname);
    await asked.press('Send a message there', { topic: 'edda-wall-phone' });
    await watch.tick();
    const yes = new URL(phone.taken.at(-1)?.body.click ?? '').pathname;
    await (await visit(server, yes)).press('Yes, I will');
    await say('/trip depart');
    await say('/checkin plan once:18:00 down:23:00 callout:"tomorrow 06:00"');
    for (const local of ['23 18:01', '23 18:31', '23 20:01', '24 06:01', '24 06:31'])
      await at(`2031-08-${local}`);
    expect(phone.wrong).toEqual([]);
    const titles = phone.taken.map(({ body }) => body.title?.replace('Harrow Tower: ', ''));
    const steps = ['no word yet', 'overdue, please act', 'call 112 now'];
    expect(titles.filter((t, i) => steps.includes(t ?? '') && titles.indexOf(t) === i)).toEqual(
      steps,
    );
    expect(titles.filter((t) => t === 'call 112 now').length).toBeGreaterThan(1);
  });
});

describe('by a text message alone', () => {
  it('from the invitation to the rescue service’s stand-down', async () => {
    const gateway = createServer((request, response) => {
      const parts: Buffer[] = [];
      request.on('data', (part: Buffer) => parts.push(part));
      request.on('end', () => {
        const body = Buffer.concat(parts).toString('utf8');
        // Signed by this machine's own time, as the reader holds it against that.
        const { data } = JSON.parse(body);
        got.push({ text: data.text.replace(/ https:\S+$/u, ''), path: new URL(data.url).pathname });
        response.writeHead(202).end();
      });
    });
    await new Promise<void>((done) => gateway.listen(0, '127.0.0.1', done));
    closing.push(
      () =>
        new Promise((done) => {
          gateway.closeAllConnections();
          gateway.close(() => done());
        }),
    );
    on = await onPage(undefined, { phones: true });
    closing.push(() => on.close());
    const url = `http://127.0.0.1:${(gateway.address() as AddressInfo).port}/`;
    await scene(createWebhook({ url, secrets: [GATEWAY] }, on.w.clock));
    await say('/roster add name:Edda role:contact phone:"+47 900 00 000" ways:phone');
    await watch.tick();
    expect(last().text).toContain('Will you be the contact at home for Mara?');
    expect((await (await opening()).press('Yes, I will')).text).toContain('Edda is contact now.');
    await fromDepartureToStandDown();
    for (const one of got) {
      readable(one);
      expect(one.text.length).toBeLessThanOrEqual(650);
    }
    if (process.env.SHOW_TEXTS) process.stdout.write(got.map((g) => g.text).join('\n\n'));
  });
});
