/** The watch's commands as functions, on the real store. */
import { pino } from 'pino';
import { beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import type { App } from '../../../src/app/app.ts';
import type { RawArgs } from '../../../src/app/command.ts';
import { dispatch } from '../../../src/app/dispatch.ts';
import { watchParts } from '../../../src/app/watch/parts.ts';
import { ScriptClock } from '../../../src/chat/local/script-clock.ts';
import { replyText } from '../../../src/chat/text.ts';
import { Watch } from '../../../src/delivery/loop.ts';
import { bare } from '../../../src/say/message.ts';
import type { Reply } from '../../../src/say/reply.ts';
import { countedIds } from '../../../src/system/ids.ts';
import { bareBot } from '../../helpers/bot.ts';
import { testStore } from '../../helpers/store.ts';

const HOUR = 3_600_000;
/** 2031-06-12 06:00 in Oslo. */
const DAWN = Date.UTC(2031, 5, 12, 4, 0);
const TRIP = 't0000001';

let clock: ScriptClock;
let app: App;
let watch: Watch;
let told: { to: string; text: string }[];
let calls: number;

async function say(who: string, path: string, args: RawArgs = {}, direct = false): Promise<Reply> {
  calls += 1;
  const call = {
    id: `c${calls}`,
    atMs: clock.wallMs(),
    actor: { id: `u-${who.toLowerCase()}`, name: who },
    where: { channel: direct ? `dm-${who}` : 'c1', direct },
    ...(direct ? { trip: TRIP } : {}),
  };
  return dispatch(app, call, path, args);
}

const text = (reply: Reply) => replyText(reply).join('\n');
const user = (name: string) => ({ id: `u-${name.toLowerCase()}`, name });

async function upTo(ms: number): Promise<void> {
  for (;;) {
    const next = await watch.nextAt();
    if (next === undefined || next > ms) break;
    if (next > clock.wallMs()) clock.moveTo(next);
    await watch.tick();
  }
  if (ms > clock.wallMs()) clock.moveTo(ms);
}

beforeEach(async () => {
  clock = new ScriptClock(DAWN);
  const store = testStore(':memory:');
  onTestFinished(() => store.close());
  app = bareBot({ store, clock, ids: countedIds(), log: pino({ level: 'silent' }) });
  told = [];
  calls = 0;
  const take = async (to: string, lines: readonly (string | readonly unknown[])[]) => {
    told.push({ to, text: lines.map((l) => bare(l as string)).join('\n') });
    return { ok: true, receipt: 'x' } as const;
  };
  watch = new Watch(
    watchParts(app, {
      owner: 'test/1/1',
      ways: {
        channel: (_c, { message }) => take('channel', message.lines),
        dm: ({ name }, { message }) => take(name, message.lines),
        email: ({ name }, { message }) => take(`${name} by mail`, message.lines),
      },
    }),
  );
  await say('Mara', 'trip open', { name: 'Harrow Tower', zone: 'Europe/Oslo', emergency: '112' });
  await say('Mara', 'roster add', { name: 'Mara', user: user('Mara'), phone: '+47 000 01' });
  await say('Mara', 'roster add', { name: 'Greta', role: 'ground', user: user('Greta') });
  await say('Mara', 'roster add', { name: 'Dana', role: 'contact', order: 1, user: user('Dana') });
  await say('Dana', 'checkin contact', { answer: 'yes' }, true);
});

describe('/checkin plan', () => {
  it('agrees times and says what follows from silence', async () => {
    const reply = await say('Mara', 'checkin plan', { down: '22:00', callout: 'tomorrow 02:00' });
    expect(text(reply)).toBe(
      [
        'Everyone down 22:00.',
        'Call-out time Fri 02:00.',
        'Nothing heard: asked at once, contact told after 30 min, overdue after 120 min.',
        'Watched from /trip depart on.',
      ].join('\n'),
    );
  });

  it('shows an example when nothing is promised', async () => {
    expect(text(await say('Mara', 'checkin plan'))).toMatch(/^Nothing is promised yet\./);
  });

  it('refuses a call-out time before everyone is expected down', async () => {
    const reply = await say('Mara', 'checkin plan', { down: '22:00', callout: '21:00' });
    expect(reply.refused).toBe(true);
    expect(text(reply)).toMatch(/^Call-out time 21:00 is not after everyone down 22:00\./);
  });

  it('refuses a time that has passed, and about: without a promise', async () => {
    expect((await say('Mara', 'checkin plan', { down: 'yesterday 22:00' })).refused).toBe(true);
    expect((await say('Mara', 'checkin plan', { about: 'the ledge' })).refused).toBe(true);
    expect((await say('Mara', 'checkin plan', { nightly: '25:00' })).refused).toBe(true);
  });

  it('takes a time away again, and a nightly check-in', async () => {
    await say('Mara', 'checkin plan', { down: '22:00', nightly: '2100' });
    const reply = await say('Mara', 'checkin plan', { down: 'none', nightly: 'none' });
    expect(text(reply)).toMatch(/^Nothing is promised yet\./);
  });

  it('tells the contact of a moved call-out time, with who moved it', async () => {
    await say('Mara', 'checkin plan', { down: '22:00', callout: 'tomorrow 02:00' });
    await say('Mara', 'trip depart');
    await watch.tick();
    expect(told.at(-1)?.text).toMatch(/^Mara has left for Harrow Tower/);
    const asked = await say('Greta', 'checkin plan', { callout: 'tomorrow 04:00' });
    expect(text(asked)).toContain('Call-out time would move from Fri 02:00 to Fri 04:00.');
    await say('Greta', 'overdue agree');
    await watch.tick();
    expect(told.at(-1)).toMatchObject({ to: 'Dana' });
    expect(told.at(-1)?.text).toMatch(
      /^The call-out time moved from Fri 02:00 to Fri 04:00 by Greta\./,
    );
  });
});

describe('/trip depart', () => {
  it('warns plainly of everything that stands between an alarm and whoever should hear it', async () => {
    await say('Mara', 'roster add', { name: 'Nils', role: 'contact' });
    const reply = text(await say('Mara', 'trip depart'));
    expect(reply).toContain('Warning: No way to reach Nils');
    expect(reply).toContain('Warning: No rehearsal acknowledged by Dana');
    expect(reply).toContain(
      'Warning: No time is promised, so nobody is asked before a day has passed',
    );
    expect(reply).toContain('Warning: No call-out time is agreed');
  });

  it('says that e-mail reaches nobody where no mail server is set up, and not where one is', async () => {
    const nils = { name: 'Nils', role: 'contact', email: 'nils@example.org', ways: 'email' };
    await say('Mara', 'roster add', nils);
    const withMail = app;
    app = { ...app, withoutMail: () => 'none' };
    expect(text(await say('Mara', 'overdue show'))).toContain(
      "E-mail isn't set up here, so nothing reaches Nils",
    );
    app = { ...app, withoutMail: () => 'refused' };
    expect(text(await say('Mara', 'overdue show'))).toContain(
      'The mail server takes no mail from us now, so no e-mail reaches Nils',
    );
    app = { ...app, withoutMail: () => 'none' };
    expect(text(await say('Mara', 'trip depart'))).toContain(
      "Warning: E-mail isn't set up here, so nothing reaches Nils",
    );
    app = withMail;
    expect(text(await say('Mara', 'overdue show'))).not.toContain("isn't set up here");
  });

  it('is content when the contact has acknowledged a rehearsal and the times are agreed', async () => {
    await say('Mara', 'checkin plan', { down: '22:00', callout: 'tomorrow 02:00' });
    await say('Mara', 'checkin drill');
    await watch.tick();
    expect(told.at(-1)?.text).toMatch(/^REHEARSAL\. Nobody is overdue\./);
    expect(text(await say('Dana', 'overdue ack', { drill: true }, true))).toMatch(
      /rehearsal arrived/,
    );
    const reply = text(await say('Mara', 'trip depart'));
    expect(reply).not.toMatch(/Warning: No (way|rehearsal|time|call-out)/);
    expect(reply).toContain('Dana is told, with a calendar file.');
  });

  it('notes a rehearsal that came by mail, when the contact says so by phone', async () => {
    await say('Mara', 'checkin drill', { who: 'Dana' });
    expect((await say('Mara', 'overdue ack', { for: 'Dana' })).refused).toBeUndefined();
    const state = await app.store.events(TRIP);
    expect(state.at(-1)?.kind).toBe('watch.drilled');
  });
});

describe('what a contact changes in a direct message', () => {
  const home = async (path: string, args: RawArgs) => {
    await say('Mara', 'checkin plan', { down: '22:00', callout: 'tomorrow 02:00' });
    await say('Mara', 'trip depart');
    await watch.tick();
    const count = told.length;
    await say('Dana', path, args, true);
    await say('Dana', 'overdue agree', {}, true);
    await watch.tick();
    return told.slice(count).flatMap((t) => (t.to === 'channel' ? t.text : []));
  };

  it('is said in the channel: later times', async () => {
    expect(await home('checkin plan', { callout: 'tomorrow 04:00' })).toEqual([
      [
        'The call-out time moved from Fri 02:00 to Fri 04:00 by Dana.',
        'Everyone down 22:00.',
        'Call-out time Fri 04:00.',
        'If that is not as agreed, set it back: /checkin plan',
      ].join('\n'),
    ]);
  });

  it('is said in the channel: that nobody watches any more, and by whose word', async () => {
    expect(await home('trip close', { sure: true })).toEqual([
      'Dana closed this trip. Nobody at home is told any more if you are late.\nTo be watched again, open it anew: /trip open',
    ]);
  });

  it('and that everyone is down, which can be taken back', async () => {
    expect(await home('trip down', { sure: true })).toEqual([
      'Dana says that everyone is down, 06:00. Nobody at home is told any more if you are late.\nIf that is wrong, take it back: /log show gives its number for /pitch strike.',
    ]);
  });
});

describe('a missed time', () => {
  beforeEach(async () => {
    await say('Mara', 'checkin plan', { down: '22:00', callout: 'tomorrow 02:00' });
    await say('Mara', 'trip depart');
    await upTo(DAWN + 18 * HOUR);
  });

  it('is shown with what stands, what comes next and who is told then', async () => {
    const reply = text(await say('Greta', 'overdue show'));
    expect(reply).toMatch(/^Overdue, since Thu 22:00\./);
    expect(reply).toContain(
      'If nothing is heard: time to call the rescue service at 02:00, told to the channel, Dana.',
    );
  });

  it('is ended by a relayed word, and everyone alarmed hears it', async () => {
    const count = told.length;
    const reply = await say('Greta', 'checkin ok', { words: 'two rappels to go' });
    expect(text(reply)).toContain('The alarm is over; everyone who was told hears it.');
    await watch.tick();
    const news = told.slice(count).filter((t) => t.text.includes('alarm is over'));
    expect(news.map((t) => t.to).sort()).toEqual(['Dana', 'channel']);
    expect(news[0]?.text).toContain('“two rappels to go” (from Greta)');
  });

  it('is not ended by an old word, and whoever tells it hears why', async () => {
    const reply = text(await say('Greta', 'checkin ok', { at: 'yesterday 20:00' }));
    expect(reply).toContain('The alarm stands all the same: that was before');
  });

  it('is acknowledged by each for themselves', async () => {
    expect(text(await say('Dana', 'overdue ack', {}, true))).toMatch(
      /^Noted\. No reminders to you about this step for 45 min/,
    );
    const shown = text(await say('Greta', 'overdue show'));
    expect(shown).toContain('Told: the channel, Dana (has it).');
    await say('Greta', 'overdue ack');
    expect(text(await say('Greta', 'overdue show'))).toContain(
      'Told: the channel (has it), Dana (has it).',
    );
    const count = told.length;
    await upTo(DAWN + 18 * HOUR + 44 * 60_000);
    expect(told.slice(count)).toEqual([]);
    // Said and nothing heard since: they are asked what has come of it.
    await upTo(DAWN + 18 * HOUR + 46 * 60_000);
    const asked = told.slice(count);
    expect(asked.map((t) => t.to).sort()).toEqual(['Dana', 'channel']);
    expect(asked[0]?.text).toMatch(
      /^(?:It was taken in hand here|You took it in hand) at (Fri )?00:00; nothing was heard since\./,
    );
  });

  it('is in nobody’s hand for having been called out: only who said so has it', async () => {
    await upTo(DAWN + 20 * HOUR);
    await say('Greta', 'overdue resolve', { how: 'called' });
    expect(text(await say('Greta', 'overdue show'))).toContain('Told: the channel, Dana.');
  });

  it('that lapsed is not said to be in hand', async () => {
    await say('Dana', 'overdue ack', {}, true);
    const count = told.length;
    await upTo(DAWN + 18 * HOUR + 16 * 60_000);
    const fresh = told.slice(count).find((t) => t.to === 'channel')?.text;
    expect(fresh).toMatch(/\nDana took it in hand at (Fri )?00:00\.\n/u);
    await upTo(DAWN + 19 * HOUR + 46 * 60_000);
    const late = told.findLast((t) => t.to === 'channel')?.text;
    expect(late).toMatch(
      /\nDana took it in hand at (Fri )?00:00, and has not confirmed it since\.\n/u,
    );
  });

  it('hears of moved times that nobody was heard from by that', async () => {
    const asked = await say('Mara', 'checkin plan', { callout: '12:00' });
    expect(text(asked)).toContain('somebody else of the roster has to agree');
    const count = told.length;
    await say('Greta', 'overdue agree');
    await watch.tick();
    const home = told.slice(count).find((t) => t.to === 'Dana' && t.text.includes('moved'))?.text;
    expect(home).toContain('An alarm stands all the same.');
    expect(home).toContain('Last heard');
    expect(home).toContain('Still open: everyone down by Thu 22:00.');
  });

  it('told to the rescue service, stops the reminders and tells the others', async () => {
    await upTo(DAWN + 20 * HOUR);
    await say('Dana', 'overdue resolve', { how: 'called', words: 'team on its way' }, true);
    await watch.tick();
    expect(told.at(-1)).toMatchObject({ to: 'channel' });
    expect(told.at(-1)?.text).toContain(
      'Dana has called the rescue service, 02:00: “team on its way”',
    );
    const count = told.length;
    await upTo(DAWN + 26 * HOUR);
    expect(told.slice(count)).toEqual([]);
  });

  it('leaves nothing to do once everyone is down', async () => {
    await say('Mara', 'trip down', { sure: true });
    await watch.tick();
    expect(told.filter((t) => t.to === 'Dana').at(-1)?.text).toMatch(/^Mara is down/);
    expect(await app.store.nextDue()).toBeUndefined();
    expect((await say('Dana', 'overdue resolve', { how: 'fine' })).refused).toBe(true);
  });
});

describe('buttons that come too late', () => {
  it('say so and change nothing', async () => {
    const seq = (await app.store.trip(TRIP))?.seq;
    expect(text(await say('Dana', 'overdue ack'))).toMatch(/No alarm stands/);
    expect((await say('Dana', 'overdue resolve', { how: 'called' })).refused).toBe(true);
    expect((await app.store.trip(TRIP))?.seq).toBe(seq);
  });
});

describe('/overdue sheet and details', () => {
  it('are for the roster only, and every opening stands in the record', async () => {
    await say('Mara', 'overdue details', { vehicle: 'red van', food: 'two days' });
    expect((await say('Eve', 'overdue sheet')).refused).toBe(true);
    const reply = await say('Dana', 'overdue sheet', {}, true);
    expect(reply.private).toBe(true);
    expect(text(reply)).toContain('Mara: phone +47 000 01.');
    expect(text(reply)).toContain('Vehicle: red van');
    const opened = (await app.store.events(TRIP)).filter((e) => e.kind === 'watch.sheet');
    expect(opened.map((e) => e.by.name)).toEqual(['Dana']);
    // What is kept for a repeated delivery holds nothing of it.
    const answers = await Promise.all(
      [...Array(calls).keys()].map((i) => app.store.answered(`c${i + 1}`)),
    );
    expect(JSON.stringify(answers)).not.toContain('red van');
  });

  it('come as a file for printing and as CAP', async () => {
    const print = await say('Mara', 'overdue sheet', { as: 'print' });
    expect(print.files?.[0]?.name).toBe('sheet-harrow-tower.html');
    const cap = await say('Mara', 'overdue sheet', { as: 'cap' });
    const xml = new TextDecoder().decode(cap.files?.[0]?.bytes);
    expect(xml).toContain('<scope>Private</scope>');
    // Nothing is overdue: whoever takes it in should not act on it.
    expect(xml).toContain('<status>Test</status>');
  });

  it('take a detail away with none', async () => {
    await say('Mara', 'overdue details', { vehicle: 'red van' });
    await say('Mara', 'overdue details', { vehicle: 'none' });
    expect(text(await say('Mara', 'overdue sheet'))).not.toContain('Vehicle');
    expect((await say('Mara', 'overdue details')).refused).toBe(true);
  });
});

describe('/overdue delays', () => {
  it('are set for the trip or for one contact, and go back to the usual', async () => {
    expect(text(await say('Mara', 'overdue delays', { told: 15, overdue: 60 }))).toMatch(
      /told 15 min .* 60 min/,
    );
    expect(text(await say('Mara', 'overdue delays', { told: 45, who: 'Dana' }))).toMatch(
      /^Dana told 45 min/,
    );
    expect(text(await say('Mara', 'overdue delays', { told: 0, overdue: 0 }))).toMatch(
      /told 30 min .* 120 min/,
    );
  });

  it('refuse what makes no sense', async () => {
    expect((await say('Mara', 'overdue delays', { told: 60, overdue: 30 })).refused).toBe(true);
    expect((await say('Mara', 'overdue delays', { told: 60, who: 'Greta' })).refused).toBe(true);
    expect((await say('Mara', 'overdue delays')).refused).toBe(true);
  });
});
