/** A contact names the topic that their phone listens to; only a yes from there counts. */
import type { FastifyInstance } from 'fastify';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { reachable } from '../../src/alarm/who.ts';
import { buildPageServer } from '../../src/page/server/server.ts';
import { withoutPerson } from '../../src/record/anonymous.ts';
import { text } from '../helpers/world.ts';
import { ownPath, stateOf, visit, waysNow } from './contact/visitor.ts';
import { type OnPage, onPage } from './server/trip-on-page.ts';

const SERVER = 'https://ntfy.example.org';
const TOPIC = 'dana-wall-phone-7';

let on: OnPage;
let server: FastifyInstance;
let path: string;

beforeEach(async () => {
  on = await onPage(undefined, { ntfy: { servers: [SERVER, 'https://ntfy.example.com'] } });
  server = await buildPageServer(on.settings);
  path = await ownPath(on.settings.links, on.trip, 'dana');
});
afterEach(async () => {
  await server.close();
  await on.close();
});

const state = () => stateOf(on);
const ways = (id: string) => waysNow(on, id);
const told = (to: string) => on.w.told.filter((t) => t.to === to && t.way === 'ntfy');
/** Opens what the newest message to a topic leads to. */
const tapped = async (to: string) => {
  const short = told(to).at(-1)?.envelope.short;
  return visit(server, new URL(short?.url ?? '').pathname);
};

describe('on a contact’s own page', () => {
  it('a topic that nobody guesses is offered, the same at each look and another for each', async () => {
    const offered = async (at: string) =>
      /name="f.topic"[^>]* value="([^"]*)"/u.exec((await visit(server, `${at}/ntfy`)).html)?.[1];
    const mine = await offered(path);
    expect(mine).toMatch(/^climb-[0-9a-f]{16}$/u);
    expect(await offered(path)).toBe(mine);
  });

  it('named, asked there, and told there only after a yes from there', async () => {
    const page = await visit(server, `${path}/ntfy`);
    const sent = await page.press('Send a message there', { topic: TOPIC });
    expect(sent.text).toContain('Open it in the app and say yes there.');
    expect(await ways('dana')).toEqual(['dm', 'email']);
    await on.w.tick();
    const [asked] = told('Dana');
    expect(asked?.envelope.short).toMatchObject({ title: 'Is this your topic?' });
    // Whoever reads that topic learns nothing of the trip.
    expect(JSON.stringify(asked?.envelope.short)).not.toMatch(/Harrow|Mara|Lantern/u);
    const yes = await (await tapped('Dana')).press('Yes, I will');
    expect(yes.text).toContain('Dana is contact already.');
    expect(await ways('dana')).toEqual(['ntfy', 'dm', 'email']);
    const on2 = await visit(server, `${path}/ntfy`);
    expect(on2.text).toContain(`Messages by ntfy are on, to ${TOPIC}.`);
    on.w.told.length = 0;
    await on2.press('Try it: send me a rehearsal');
    await on.w.tick();
    expect(on.w.told.map((t) => t.way).sort()).toEqual(['dm', 'email', 'ntfy']);
    expect(told('Dana')[0]?.envelope.short).toMatchObject({ rehearsal: true });
    await (await tapped('Dana')).press("I've got it");
    expect((await state()).watch.drills.at(-1)?.ackedAtMs).toBeDefined();
    expect((await on2.press('Turn messages by ntfy off')).text).toContain('by your other ways');
    expect(await ways('dana')).toEqual(['dm', 'email']);
  });

  it('a no from there ends it there, and for nobody else', async () => {
    await (await visit(server, `${path}/ntfy`)).press('Send a message there', { topic: TOPIC });
    await on.w.tick();
    const no = await (await tapped('Dana')).press('No');
    expect(no.text).toContain('By your other ways you are told as before.');
    expect(await ways('dana')).toEqual(['dm', 'email']);
    const again = await (await visit(server, `${path}/ntfy`)).press('Send a message there', {
      topic: TOPIC,
    });
    expect(again.text).toContain('Somebody said no in the message to that topic.');
    on.w.told.length = 0;
    await on.w.tick();
    expect(told('Dana')).toEqual([]);
  });

  it('sent once more where none came, three times a day at most, in German said in German', async () => {
    const page = await visit(server, `${path}/ntfy`);
    await page.press('Send a message there', { topic: TOPIC });
    for (let n = 0; n < 2; n++) {
      const waits = await visit(server, `${path}/ntfy`);
      expect(waits.text).toContain('Your yes is still awaited');
      await waits.press('Send a message there', { topic: TOPIC });
    }
    const fourth = await (await visit(server, `${path}/ntfy`)).press('Send a message there', {
      topic: TOPIC,
    });
    expect(fourth.text).toContain('That address has been asked');
    await on.w.tick();
    expect(told('Dana').length).toBeLessThanOrEqual(3);
  });

  it.each([
    ['another server', 'https://elsewhere.example.org/dana-wall-phone-7', 'to that server'],
    ['no TLS', 'http://ntfy.example.org/dana-wall-phone-7', 'That is no topic.'],
    ['an address of the machine', 'https://127.0.0.1/dana-wall-phone-7', 'to that server'],
    ['a path', 'https://ntfy.example.org/a/b', 'That is no topic.'],
    ['a name that is soon guessed', 'dana', 'too short'],
    ['words', 'my topic, please', 'That is no topic.'],
    ['nothing', '', 'That is no topic.'],
  ])('%s is refused kindly, and nothing is changed', async (_, topic, why) => {
    const page = await visit(server, `${path}/ntfy`);
    expect((await page.press('Send a message there', { topic })).text).toContain(why);
    expect((await state()).people.find((p) => p.id === 'dana')?.ntfy).toBeUndefined();
  });

  it('goes with whoever has themselves erased', async () => {
    await (await visit(server, `${path}/ntfy`)).press('Send a message there', { topic: TOPIC });
    const { state: now, history } = await on.w.trip();
    const facts = JSON.parse(JSON.stringify(history));
    expect(JSON.stringify(facts)).toContain(TOPIC);
    const changed = withoutPerson(now, facts, 'local:dana');
    const after = facts.map(
      (f: { seq: number; data: unknown }) => changed.find((c) => c.seq === f.seq)?.data ?? f.data,
    );
    expect(JSON.stringify(after)).not.toContain(TOPIC);
  });
});

describe('a contact who has nothing but the app', () => {
  const link = async () => {
    const added = text(await on.w.say('mara', '/roster add name:Edda role:contact ways:ntfy'));
    expect(added).toContain('names the ntfy topic of their phone');
    return new URL(/https:\S+/u.exec(added)?.[0] ?? '').pathname;
  };

  it('gets a link from the party, names the topic, says yes there, and leaves there', async () => {
    const asked = await link();
    await on.w.tick();
    expect(told('Edda')).toEqual([]);
    const shown = text(await on.w.say('mara', '/roster show'));
    expect(shown).toContain('Edda: check-in contact, ntfy, by a link that you pass on');
    await (await visit(server, asked)).press('Send a message there', { topic: 'edda-wall-phone' });
    await on.w.tick();
    expect(reachable(await state()).map((p) => p.id)).toEqual(['dana']);
    expect(told('Edda').at(-1)?.envelope.short?.text).toContain('asks you to be check-in contact');
    expect((await (await tapped('Edda')).press('Yes, I will')).text).toContain(
      'Edda is contact now.',
    );
    expect(await ways('edda')).toEqual(['ntfy']);
    const own = await ownPath(on.settings.links, on.trip, 'edda');
    const kept = await (await visit(server, `${own}/ntfy`)).press('Turn messages by ntfy off');
    expect(kept.text).toContain('the only way by which you are told');
    // A new topic counts only after a yes from it, and until then nothing would reach them.
    const other = await (await visit(server, `${own}/ntfy`)).press('Send a message there', {
      topic: 'edda-another-phone',
    });
    expect(other.text).toContain('the only way by which you are told');
    expect(await ways('edda')).toEqual(['ntfy']);
    await (await tapped('Edda')).press('Leave');
    expect(await ways('edda')).toEqual([]);
  });

  it('where no server is set up, nobody is added by it', async () => {
    const bare = await onPage();
    const reply = await bare.w.say('mara', '/roster add name:Edda role:contact ways:ntfy');
    expect(text(reply)).toContain('There are no messages by ntfy here');
    await bare.close();
  });
});

describe('the order of ways', () => {
  it('is set on their own page: one first, one kept for when it is time to call', async () => {
    const page = await visit(server, path);
    expect(page.html).toContain(`href="${path}/ways"`);
    const form = await visit(server, `${path}/ways`);
    const kept = await form.press('Keep it so', {
      'place.email': '1',
      'place.dm': '2',
      'from.dm': 'distress',
    });
    expect(kept.text).toContain('Kept.');
    expect(kept.text).toContain('You are told by e-mail.');
    const dana = (await state()).people.find((p) => p.id === 'dana');
    expect([dana?.ways, dana?.from]).toEqual([['email', 'dm'], { dm: 'distress' }]);
    // What stands is what the form shows next.
    expect((await visit(server, `${path}/ways`)).html).toMatch(
      /name="f\.from\.dm">.*<option value="distress" selected>/u,
    );
    const back = await (await visit(server, `${path}/ways`)).press('Keep it so', {
      'from.dm': 'always',
    });
    expect(back.text).toContain('You are told by e-mail, then direct message.');
  });

  it('one has to be told from the first word on; rubbish changes nothing', async () => {
    const all = { 'from.dm': 'distress', 'from.email': 'alert' };
    const refused = await (await visit(server, `${path}/ways`)).press('Keep it so', all);
    expect(refused.text).toContain('One way has to be used from the first word');
    await (await visit(server, `${path}/ways`)).press('Keep it so', {
      'place.dm': '-4',
      'place.email': 'x',
      'from.email': 'never',
    });
    expect(await ways('dana')).toEqual(['dm', 'email']);
    expect((await state()).people.find((p) => p.id === 'dana')?.from).toBeUndefined();
  });
});
