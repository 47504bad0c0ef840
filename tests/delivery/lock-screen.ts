/** Every kind of notice to a contact, as a phone shows it: from whole trips, in one language. */
import { noticeData, type What } from '../../src/alarm/notice.ts';
import { renderNotice } from '../../src/alarm/render.ts';
import type { WayName } from '../../src/delivery/lanes.ts';
import { shortOf } from '../../src/delivery/short.ts';
import { openDemo, type World, world } from '../helpers/world.ts';

/** What is shown of one notice. */
export interface Shown {
  name: string;
  title: string;
  text: string;
}

const WAYS: readonly WayName[] = ['push', 'ntfy', 'phone'];

/** What a notice is about, in a word; with what makes its words others. */
function nameOf(what: What, phase: string | undefined, trouble: boolean, mode: string): string {
  if (what.kind === 'phase') {
    const more = Object.keys(what).filter((k) =>
      ['repeat', 'lapsed', 'reopened', 'instead'].includes(k),
    );
    return [trouble ? 'trouble' : 'late', phase, ...more].join(' ');
  }
  if (what.kind === 'ended')
    return `ended ${what.why}${what.still === true ? ' still' : ''}${mode === '' ? '' : ` ${mode}`}`;
  if (what.kind === 'plan')
    return what.departed ? 'plan departed' : `plan ${what.upAgain === true ? 'up' : 'moved'}`;
  return mode === '' ? what.kind : `${what.kind} ${mode}`;
}

class Reader {
  readonly shown: Shown[] = [];
  readonly #seen = new Set<string>();
  readonly #w: World;
  readonly #to: string;

  constructor(w: World, to = 'dana') {
    this.#w = w;
    this.#to = to;
  }

  /** As it would be sent at this moment, by each of a phone's ways. */
  async show(what: What, { mode = '', nowMs = this.#w.clock.wallMs() } = {}) {
    const to = this.#to;
    const { state } = await this.#w.trip();
    const rendered = renderNotice(state, { to, what }, { nowMs, organizer: 'x@example.org' });
    if (!('send' in rendered)) return false;
    const raised =
      what.kind === 'phase' ? state.watch.raised.find((r) => r.seq === what.raised) : undefined;
    const trouble = raised?.root.startsWith('trouble:') === true;
    const name = nameOf(what, raised?.phase, trouble, mode);
    for (const way of WAYS) {
      const short = shortOf(state, { what, to }, way, { message: rendered.send }, nowMs);
      if (short === undefined) throw new Error(way);
      const one = { name, title: short.title, text: short.text };
      if (!this.shown.some((s) => s.title === one.title && s.text === one.text)) {
        this.shown.push(one);
      }
    }
    return true;
  }

  /** Lets the watch do what is due, and reads what it has for the contact since. */
  async at(local?: string, mode = ''): Promise<void> {
    if (local !== undefined) this.#w.at(local);
    await this.#w.tick();
    const { row } = await this.#w.trip();
    for (const notice of await this.#w.store.notices(row.id)) {
      if (this.#seen.has(notice.key)) continue;
      this.#seen.add(notice.key);
      const data = noticeData.parse(notice.data);
      if (data.to === this.#to) await this.show(data.what, { mode });
    }
  }

  async say(who: string, line: string): Promise<void> {
    const reply = await this.#w.say(who, line);
    if (reply.refused === true && (reply.buttons ?? []).length === 0) {
      throw new Error(`${line}: ${JSON.stringify(reply.lines)}`);
    }
  }
}

async function open(locale: string, contact = true): Promise<{ w: World; r: Reader }> {
  const w = await world({ around: () => ({ phones: true }) });
  await openDemo(w);
  await w.say('mara', '/trip edit emergency:"112, +47 70 00 00 00"');
  for (const [i, name] of ['Mara', 'Jonas', 'Ines', 'Greta'].entries()) {
    await w.say('mara', `/roster edit who:${name} phone:"+47 000 00 00${i + 1}"`);
  }
  const { row } = await w.trip();
  const to = '+4790000000';
  await w.app.records.write({
    trip: row.id,
    key: 'by-phone',
    nowMs: w.clock.wallMs(),
    by: { id: 'local:mara', name: 'Mara' },
    decide: () => [
      {
        kind: 'roster.edited' as const,
        data: {
          id: 'dana',
          patch: { locale, zone: 'America/New_York', phone: '+47 900 00 000', ways: ['phone'] },
        },
      },
      {
        kind: 'contact.answered' as const,
        data: { person: 'dana', way: 'phone' as const, to, answer: contact ? 'yes' : 'no' },
      },
    ],
  });
  return { w, r: new Reader(w) };
}

const DAY = '2031-06-12';
const NEXT = '2031-06-13';

/** A silence to the call-out, what came of it, and all that the watch says of itself. */
async function silence(locale: string): Promise<Shown[]> {
  const { w, r } = await open(locale);
  try {
    await r.at();
    await r.say('mara', '/checkin drill');
    await r.at(`${DAY} 06:15`);
    await r.say('mara', '/checkin plan down:18:00 callout:"tomorrow 06:00"');
    await r.say('mara', '/trip depart');
    await r.at(`${DAY} 06:20`);
    await r.say('mara', '/checkin plan callout:"tomorrow 05:00"');
    await r.say('greta', '/pitch done number:1 at:06:15');
    await r.at(`${DAY} 06:30`);
    const { seq } = (await w.trip()).state;
    const sinceMs = w.clock.wallMs();
    await r.show({ kind: 'deaf', sinceMs });
    await r.show({ kind: 'hearing', sinceMs, backMs: sinceMs + 600_000 });
    await r.show({ kind: 'unreached', seq, person: 'greta' });
    await r.show({ kind: 'unreached', seq, person: 'greta', next: 'mara' });
    await r.show({ kind: 'leaving', seq });
    await r.show({ kind: 'removed', seq, by: 'Mara' });
    for (const at of ['18:01', '18:31', '19:01', '19:31', '20:01', '20:31', '21:01', '22:01']) {
      await r.at(`${DAY} ${at}`);
      if (at !== '20:31') continue;
      await r.say('dana', '/overdue ack');
    }
    for (const at of ['05:01', '05:16', '05:31']) await r.at(`${NEXT} ${at}`);
    const raised = (await w.trip()).state.watch.raised.at(-1);
    if (raised === undefined) throw new Error('no alarm');
    await r.show({ kind: 'phase', raised: raised.seq, instead: 'greta' });
    await r.show({ kind: 'phase', raised: raised.seq, reopened: true });
    await r.show({ kind: 'early', raised: raised.seq }, { nowMs: raised.dueMs - 6 * 3_600_000 });
    await r.show({ kind: 'early', raised: raised.seq }, { nowMs: raised.dueMs - 13 * 3_600_000 });
    await r.show({
      kind: 'ended',
      seq: raised.seq,
      raised: raised.seq,
      why: 'moved',
      by: 'Mara',
      still: true,
    });
    await r.say('dana', '/overdue ack');
    for (const at of ['05:45', '06:20', '06:40']) await r.at(`${NEXT} ${at}`);
    await r.say('mara', '/checkin plan callout:"+3h"');
    await r.at();
    await r.say('greta', '/overdue resolve how:called');
    await r.at(`${NEXT} 06:50`);
    await r.say('greta', '/checkin ok how:radio words:"all three are well, slept under the roof"');
    await r.at(`${NEXT} 06:55`, 'called');
    for (const at of ['07:30', '08:00', '08:30']) await r.at(`${NEXT} ${at}`);
    await r.show({ kind: 'plan', seq: raised.seq, departed: false, upAgain: true });
    await r.say('mara', '/trip down');
    await w.say('mara', '[Yes, everyone is down]');
    await r.at(`${NEXT} 09:00`, 'called');
    await r.say('greta', '/overdue resolve how:stood-down');
    await r.at(`${NEXT} 09:10`);
    for (const why of ['moved', 'closed', 'struck', 'down'] as const) {
      await r.show({ kind: 'ended', seq: raised.seq, raised: raised.seq, why, by: 'Mara' });
    }
    return r.shown;
  } finally {
    await w.close();
  }
}

/** Trouble that they cope with, then want help in, then is over; an alarm that a change ends. */
async function trouble(locale: string): Promise<Shown[]> {
  const { w, r } = await open(locale);
  try {
    await r.say('mara', '/checkin plan down:18:00 callout:"tomorrow 06:00"');
    await r.say('mara', '/trip depart');
    await r.say('greta', '/trouble report who:Ines what:"a cut hand" where:"ledge 5" wants:cope');
    await r.at(`${DAY} 06:30`);
    await r.say('greta', '/trouble over said:"Mara by radio: bandaged, climbing on"');
    await r.at(`${DAY} 06:40`);
    await r.say('greta', '/trouble report who:Ines what:"broken ankle" where:"ledge 5"');
    await r.at(`${DAY} 10:00`);
    for (const at of ['10:20', '11:00', '12:00', '14:00', '16:00', '17:00']) {
      await r.at(`${DAY} ${at}`);
    }
    await r.say('greta', '/trouble over said:"Mara by radio: all well"');
    await r.at(`${DAY} 17:10`);
    await r.say('greta', '/checkin ok how:radio');
    await r.at(`${DAY} 17:20`);
    // Heard from just before the call-out time.
    await r.at(`${DAY} 18:31`);
    await r.say('greta', '/checkin ok how:radio');
    await r.at(`${DAY} 18:40`);
    await r.say('mara', '/trip down');
    await w.say('mara', '[Yes, everyone is down]');
    await r.at(`${DAY} 18:45`);
    return r.shown;
  } finally {
    await w.close();
  }
}

/** No call-out time, and no telephone of anybody; heard from shortly before a call-out time; a lost way. */
async function bare(locale: string): Promise<Shown[]> {
  const { w, r } = await open(locale);
  try {
    for (const name of ['Mara', 'Jonas', 'Ines', 'Greta']) {
      await r.say('mara', `/roster edit who:${name} phone:none`);
    }
    await r.say('mara', '/checkin plan down:18:00');
    await r.say('mara', '/trip depart');
    await r.at(`${DAY} 06:20`);
    const { row } = await w.trip();
    await w.app.records.write({
      trip: row.id,
      key: 'lost',
      nowMs: w.clock.wallMs(),
      by: { id: 'local:mara', name: 'Mara' },
      decide: () => [
        {
          kind: 'contact.lost',
          data: { person: 'dana', way: 'email', to: 'dana@example.org', why: 'gone' },
        },
      ],
    });
    await r.show({ kind: 'lost', seq: (await w.trip()).state.seq });
    for (const at of ['18:31', '20:01']) await r.at(`${DAY} ${at}`);
    for (const at of ['00:01', '06:01', '18:01']) await r.at(`${NEXT} ${at}`);
    await r.at('2031-06-14 06:01');
    return r.shown;
  } finally {
    await w.close();
  }
}

/** A word an hour before the call-out time, and none after it. */
async function recent(locale: string): Promise<Shown[]> {
  const { w, r } = await open(locale);
  try {
    await r.say('mara', '/checkin plan down:18:00 callout:19:00');
    await r.say('mara', '/trip depart');
    w.at(`${DAY} 18:50`);
    await r.say('greta', '/pitch done number:1 at:18:45');
    await r.at(`${DAY} 19:01`);
    return r.shown
      .filter((s) => s.name.startsWith('late distress'))
      .map((s) => ({ ...s, name: 'late distress recent' }));
  } finally {
    await w.close();
  }
}

/** Who was asked and has not answered: the invitation, and one word at distress. */
async function asked(): Promise<Shown[]> {
  const { w } = await open('en', false);
  const r = new Reader(w, 'edda');
  try {
    await r.say('mara', '/roster remove who:Dana');
    await r.say('mara', '/roster add name:Edda role:contact email:edda@example.org');
    await r.at(`${DAY} 06:15`);
    await r.say('mara', '/checkin plan down:18:00 callout:22:00');
    await r.say('mara', '/trip depart');
    await r.at(`${DAY} 22:01`, 'unasked');
    return r.shown.map((s) => (s.name.startsWith('late') ? { ...s, name: 'last resort' } : s));
  } finally {
    await w.close();
  }
}

/** All of them, once a wording. */
export async function allShown(locale: string): Promise<Shown[]> {
  const all = [
    ...(await silence(locale)),
    ...(await trouble(locale)),
    ...(await bare(locale)),
    ...(await recent(locale)),
    ...(locale === 'en' ? await asked() : []),
  ];
  return all.filter((s, i) => all.findIndex((t) => t.text === s.text) === i);
}
