/** How a contact is told: which way first, which one only when it is grave; each is asked first. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { parseWays } from '../../commands/roster/ways.ts';
import { waysOf } from '../../src/alarm/who.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
afterEach(() => w.close());

describe('ways as people type them', () => {
  beforeEach(async () => {
    w = await world();
  });

  it.each([
    ['push, e-mail, phone at distress', ['push', 'email', 'phone'], { phone: 'distress' }],
    ['Email then phone from overdue', ['email', 'phone'], { phone: 'alert' }],
    ['dm+email', ['dm', 'email'], undefined],
    ['message; call at distress', ['dm', 'phone'], { phone: 'distress' }],
    ['e-mail only', ['email'], undefined],
  ])('%s', (typed, ways, from) => {
    expect(parseWays(typed)).toEqual({ ways, ...(from === undefined ? {} : { from }) });
  });

  it.each(['pigeon', 'e-mail, e-mail', 'phone at noon', '', 'constructor', 'phone at toString'])(
    '“%s” is asked back',
    (typed) => {
      expect(parseWays(typed)).toHaveProperty('problem');
    },
  );

  it('what isn’t there, or lacks its number, is refused with a way out', async () => {
    await openDemo(w);
    const refused = async (line: string) => {
      const reply = await w.say('mara', line);
      expect(reply.refused).toBe(true);
      return text(reply);
    };
    expect(
      await refused('/roster add name:Edda role:contact phone:"+47 900 00 000" ways:phone'),
    ).toContain('TAGLINE_WEBHOOK_URL');
    expect(await refused('/roster add name:Edda role:contact ways:push')).toContain(
      'TAGLINE_PAGE_URL',
    );
    expect(
      await refused(
        '/roster add name:Edda role:contact ways:"e-mail at distress" email:e@example.org',
      ),
    ).toContain('Keep one for all');
  });
});

describe('a contact by phone', () => {
  beforeEach(async () => {
    w = await world({ around: () => ({ phones: true }) });
    await openDemo(w);
  });
  const edda = async () => {
    const { state } = await w.trip();
    const person = state.people.find((p) => p.id === 'edda');
    return person === undefined ? [] : waysOf(state, person);
  };
  const toEdda = () => w.told.filter((t) => t.to === 'Edda');

  it('needs the country code', async () => {
    const reply = await w.say('mara', '/roster add name:Edda role:contact phone:900 ways:phone');
    expect(text(reply)).toContain('country code');
  });

  it('is asked by a text, told by it only after a yes, and rehearsed by it', async () => {
    const added = await w.say(
      'mara',
      '/roster add name:Edda role:contact phone:"+47 900 00 000" ways:"e-mail, phone" email:edda@example.org',
    );
    expect(text(added)).toContain('Edda is asked by e-mail and phone');
    await w.tick();
    const invited = toEdda().find((t) => t.way === 'phone')?.envelope.short;
    expect(invited?.title).toBe('Will you be the contact at home for Mara?');
    expect(invited?.text).toContain('told when the climbers are not heard from in time');
    expect(await edda()).toEqual([]);
    const { state } = await w.trip();
    const code = w.app.invitations.code(state.id, {
      person: 'edda',
      way: 'phone',
      to: '+4790000000',
    });
    await w.say('mara', `/checkin contact answer:yes for:Edda code:${code}`);
    expect(await edda()).toEqual(['phone']);
    w.told.length = 0;
    await w.say('mara', '/checkin drill who:Edda');
    await w.tick();
    const [drill] = toEdda();
    expect(drill?.way).toBe('phone');
    expect(drill?.envelope.short?.text).toContain('REHEARSAL. Nobody is overdue.');
    expect(drill?.envelope.short?.text).toContain("press “I've got it”");
  });

  it('a stranger has few texts sent, whatever numbers they make up, and may ask by mail still', async () => {
    const { state } = await w.trip();
    const call = (n: number) => ({
      id: `c${n}`,
      atMs: w.clock.wallMs(),
      actor: { id: `stranger-${n % 3}`, name: 'Stray' },
      where: { channel: 'c', guild: 'g', direct: false },
      trip: state.id,
    });
    const ask = (n: number, way: 'phone' | 'email') =>
      w.app.invitations.mayAsk(call(n), [{ person: 'x', way, to: `+4790000${100 + n}` }]);
    const refused = [];
    for (let n = 0; n < 12; n++) refused.push((await ask(n, 'phone'))?.code);
    expect(refused).toEqual([...Array(10).fill(undefined), 'too-often', 'too-often']);
    expect(await ask(12, 'email')).toBeUndefined();
  });

  it('is not asked by a number that is for the sheet', async () => {
    await w.say(
      'mara',
      '/roster add name:Edda role:contact phone:"+47 900 00 000" email:edda@example.org',
    );
    await w.tick();
    expect(toEdda().map((t) => t.way)).not.toContain('phone');
  });
});
