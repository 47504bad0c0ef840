import { afterEach, beforeEach, describe, expect, onTestFinished, test } from 'vitest';
import { replyText } from '../../src/chat/text.ts';
import type { Reply } from '../../src/say/reply.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';
import { ask } from './ask.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

const say = async (who: string, line: string) => text(await w.say(who, line));
const person = async (name: string) => (await w.trip()).state.people.find((p) => p.name === name);

describe('adding and editing', () => {
  test('climbers with ceilings, ground crew, contacts with ways, an account or a plain name', async () => {
    expect(await say('mara', '/roster add name:Pål user:pål free:"VII-" aid:c1+ age:34')).toBe(
      'Pål: climber, leads free to VII-, aid to C1+.',
    );
    expect(await person('Pål')).toMatchObject({ userId: 'local:pål', age: 34, roles: ['climber'] });
    expect(
      await say(
        'mara',
        '/roster add name:Edda role:contact email:edda@example.org order:2 ways:email',
      ),
    ).toContain('Edda: check-in contact, asked by e-mail, NOT CONFIRMED');
    expect(await say('mara', '/roster add name:Greta role:contact')).toContain(
      'ground crew, check-in contact',
    );
  });

  test('"none" takes a value away, and Undo gives it back', async () => {
    await w.say('mara', '/roster edit who:Ines aid:none');
    expect((await person('Ines'))?.aid).toBeUndefined();
    await w.say('mara', '[Undo]');
    expect((await person('Ines'))?.aid?.text).toBe('A3');
  });

  test('a beginning of a name is enough where it fits one only', async () => {
    expect(await say('mara', '/roster edit who:in free:7a')).toContain(
      'Ines: climber, leads free to 7a',
    );
    await w.say('mara', '/roster add name:"Jonas B" free:6a');
    expect(await say('mara', '/roster edit who:jon free:6b')).toContain(
      'jon could be Jonas, Jonas B.',
    );
    expect(await say('mara', '/roster edit who:jonas free:6b')).toContain('Jonas: climber');
  });

  test('a name is one however it is composed or capitalised', async () => {
    await w.say('mara', '/roster add name:P\u00e5l role:ground');
    expect(await say('mara', '/roster add name:Pa\u030aL role:ground')).toContain(
      'is on the roster already',
    );
    expect((await w.say('pa\u030al', '/trip depart')).refused).toBeUndefined();
  });

  test.each([
    ['/roster add name:Mara', 'Mara is on the roster already (climber).'],
    ['/roster add name:X free:9x aid:B2 email:nowhere', "free: 9x isn't a grade"],
    ['/roster add name:X free:9x aid:B2 email:nowhere', "aid: B2 isn't an aid grade"],
    [
      '/roster add name:X free:9x aid:B2 email:nowhere',
      "email: nowhere doesn't look like an address",
    ],
    ['/roster add name:X email:a@b.c', "email: a@b.c doesn't look like an address"],
    ['/roster add name:X age:3', 'age: 5 or more'],
    ['/roster edit who:Nobody free:6a', "Nobody isn't on the roster."],
    ['/roster edit who:Mara', 'Nothing to change'],
    ['/roster edit who:Mara name:Ines', 'Ines is on the roster already.'],
    ['/roster remove who:Nobody', "Nobody isn't on the roster."],
  ])('%s is refused: %s', async (line, says) => {
    const before = (await w.trip()).state;
    const reply = await w.say('mara', line);
    expect(reply.refused).toBe(true);
    expect(text(reply)).toContain(says);
    expect((await w.trip()).state).toEqual(before);
  });

  test('two accounts never become one person by their name; one account is one person', async () => {
    await w.say('mara', '/roster edit who:Greta user:greta');
    const other = { id: '900000000000000009', name: 'Greta' };
    const from = { user: 'local:mara', name: 'Mara', channel: 'local:main' };
    const added = await ask(w, from, 'roster add', { name: 'Greta', role: 'contact', user: other });
    expect(text(added)).toContain('Two people of one name need two, like Jonas B.');
    expect((await person('Greta'))?.userId).toBe('local:greta');
    const twice = await ask(w, from, 'roster add', {
      name: 'Someone',
      user: { id: 'local:greta', name: 'Greta' },
    });
    expect(text(twice)).toContain('That account is Greta on the roster already');
  });
});

describe('who may do what', () => {
  const actions = () =>
    w.app.commands.flatMap((c) =>
      Object.entries(c.subs ?? {}).flatMap(([name, sub]) =>
        sub.access === 'act' ? [{ path: `${c.name} ${name}`, sub }] : [],
      ),
    );

  test('every command that acts refuses a stranger, says why, and changes nothing', async () => {
    const stranger = { user: '900000000000000007', name: 'Stray Dog', channel: 'local:main' };
    const before = (await w.trip()).history.length;
    const file = {
      name: 'f.csv',
      size: 9,
      bytes: async () => new TextEncoder().encode('pitch,length_m\n1,9\n'),
    };
    for (const { path, sub } of actions()) {
      const raw = Object.fromEntries(
        Object.entries(sub.options).flatMap(([name, def]) => {
          if (def.required !== true) return [];
          const choice = 'choices' in def ? def.choices?.[0]?.value : undefined;
          const value =
            choice ??
            { string: 'Mara', integer: 1, number: 1, boolean: true, user: stranger, file }[
              def.type
            ];
          return [[name, value]];
        }),
      );
      const reply = await ask(w, stranger, path, raw as never);
      const says = 'You may look at Harrow Tower';
      expect([path, text(reply)]).toEqual([path, expect.stringContaining(says)]);
      expect([path, reply.private, reply.refused]).toEqual([path, true, true]);
    }
    expect((await w.trip()).history).toHaveLength(before);
    expect(actions().length).toBeGreaterThan(15);
  });

  test('a stranger is told what lets them in, and it does', async () => {
    const stranger = { user: '900000000000000007', name: 'Stray Dog', channel: 'local:main' };
    expect(text(await ask(w, stranger, 'pitch done'))).toContain(
      '/roster add name:"Stray Dog" role:ground user:@Stray Dog',
    );
    await w.say('mara', '/roster add name:"Stray Dog" role:ground');
    expect(text(await ask(w, stranger, 'pitch done'))).toContain(
      '/roster edit who:"Stray Dog" user:@Stray Dog',
    );
    await ask(w, { user: 'local:mara', name: 'Mara', channel: 'local:main' }, 'roster edit', {
      who: 'Stray Dog',
      user: { id: stranger.user, name: stranger.name },
    });
    expect((await ask(w, stranger, 'pitch done')).refused).toBeUndefined();
    expect(text(await w.say('wolf', '/pitch done'))).toContain('/roster add name:Wolf role:ground');
  });

  test('whoever left may no longer act', async () => {
    await w.say('mara', '/roster remove who:Greta');
    expect(await say('greta', '/pitch done')).toContain('You may look at Harrow Tower');
  });
});

describe('what is private', () => {
  const PRIVATE = [
    'dana@example.org',
    '+47 000 00 000',
    'insulin',
    'red helmet',
    'ines@example.org',
  ];

  test('phones, e-mail, clothing and medical notes are in no public answer, nor in the log', async () => {
    const replies: Reply[] = [];
    const lines = [
      [
        'mara',
        '/roster edit who:Ines email:ines@example.org medical:insulin clothing:"red helmet"',
      ],
      ...[
        '/roster show',
        '/trip show',
        '/trip depart',
        '/pitch done',
        '/lead next',
        '/lead plan',
        '/topo show',
        '/log show',
        '/help',
      ].flatMap((line) => [
        ['mara', line],
        ['stray', line],
      ]),
      ['mara', '/roster edit who:Ines email:"ines at example"'],
      ['mara', '/roster remove who:Dana'],
      ['mara', '[Undo]'],
      ['mara', '/trip down'],
      ['mara', '/trip close'],
    ] as [string, string][];
    for (const [who, line] of lines) replies.push(await w.say(who, line));
    for (const reply of replies.filter((r) => r.private !== true)) {
      for (const secret of PRIVATE) expect(replyText(reply).join('\n')).not.toContain(secret);
    }
    for (const secret of PRIVATE) expect(w.logged.join('\n')).not.toContain(secret);
  });

  test('the roster sees them, only privately; a stranger is told that they are not shown', async () => {
    const mine = await w.say('greta', '/roster show');
    expect(mine.private).toBe(true);
    expect(text(mine)).toContain('phone +47 000 00 000, e-mail dana@example.org');
    const theirs = await w.say('stray', '/roster show');
    expect(text(theirs)).not.toContain('@example.org');
    expect(text(theirs)).toContain('Phones and addresses are for the roster only.');
    expect(await say('stray', '/log show')).not.toMatch(/Dana|Mara on the roster/);
    expect((await w.say('stray', '/log export')).files).toBeUndefined();
    expect((await w.say('mara', '/log export')).private).toBe(true);
  });

  test('a fault of ours names a reference, not what was typed', async () => {
    let failing = false;
    const broken = await world({
      throughStore: (store) => ({
        ...store,
        append: (change) => (failing ? Promise.reject(new Error('no luck')) : store.append(change)),
      }),
    });
    onTestFinished(() => broken.close());
    await openDemo(broken);
    failing = true;
    const reply = await broken.say('mara', '/roster edit who:Ines medical:insulin');
    const [, reference] = /Reference (\S+)\./.exec(text(reply)) ?? [];
    expect(reference).toBeDefined();
    expect(reply.private).toBe(true);
    const logged = broken.logged.join('');
    expect(logged).toContain(reference);
    expect(logged).not.toContain('insulin');
  });
});
