/** An alarm played through the local channel: who says what, which buttons came, what was told. */
import { onTestFinished } from 'vitest';
import { dispatch } from '../../../src/app/dispatch.ts';
import { speaker } from '../../../src/chat/local/speaker.ts';
import type { Button, Reply } from '../../../src/say/reply.ts';
import { openDemo, text, type World, world } from '../../helpers/world.ts';

export interface Play extends World {
  /** Moves the clock there, doing on the way all that falls due. */
  upTo(local: string): Promise<void>;
  /** What was told since the last asking, as `to: text`. */
  news(): string[];
  /** Presses the button of that label on the newest message to that person or the channel. */
  press(
    who: string,
    label: string,
    from?: { to: string; nth?: number; about?: string },
  ): Promise<Reply>;
  /** Presses a button of an answer. */
  pressOn(who: string, reply: Reply, label: string): Promise<Reply>;
  /** Says it and returns the words. */
  line(who: string, typed: string): Promise<string>;
}

/** Harrow Tower with its people, departed at six; down by 22:00, call-out time 02:00, unless set. */
export async function play(plan = 'down:22:00 callout:"tomorrow 02:00"'): Promise<Play> {
  const w = await world();
  onTestFinished(() => w.close());
  await openDemo(w);
  if (plan !== '') await must(w, 'mara', `/checkin plan ${plan}`);
  await must(w, 'mara', '/trip depart');
  await w.tick();
  let seen = w.told.length;
  const press = (who: string, button: Button): Promise<Reply> => {
    const person = speaker(who);
    if (person === undefined) throw new Error(`no such speaker: ${who}`);
    const call = {
      id: w.app.ids.event(),
      atMs: w.clock.wallMs(),
      actor: person,
      where: { channel: 'local', direct: true },
      trip: w.told[0]?.envelope.trip ?? '',
    };
    return dispatch(w.app, call, button.press.path, button.press.options);
  };
  const found = (buttons: readonly Button[] | undefined, label: string): Button => {
    const one = (buttons ?? []).find((b) => b.label.startsWith(label));
    if (one === undefined) throw new Error(`no button ${label} in ${buttons?.map((b) => b.label)}`);
    return one;
  };
  return {
    ...w,
    async upTo(local) {
      const before = w.clock.wallMs();
      w.at(local);
      const end = w.clock.wallMs();
      w.clock.set(before);
      for (;;) {
        const next = await w.watch.nextAt();
        if (next === undefined || next > end) break;
        if (next > w.clock.wallMs()) w.clock.set(next);
        await w.tick();
      }
      w.clock.set(end);
      await w.tick();
    },
    news() {
      const fresh = w.told
        .slice(seen)
        .map((t) => `${t.way === 'channel' ? 'channel' : t.to}: ${t.text}`);
      seen = w.told.length;
      return fresh;
    },
    press(who, label, { to, nth = -1, about = '' } = { to: who }) {
      const mine = w.told.filter(
        (t) => (t.way === 'channel' ? 'channel' : t.to.toLowerCase()) === to,
      );
      const withIt = mine
        .filter((t) => t.text.includes(about))
        .filter((t) => (t.envelope.message.buttons ?? []).some((b) => b.label.startsWith(label)));
      return press(who, found(withIt.at(nth)?.envelope.message.buttons, label));
    },
    pressOn: (who, reply, label) => press(who, found(reply.buttons, label)),
    line: async (who, typed) => text(await w.say(who, typed)),
  };
}

export async function must(w: Pick<World, 'say'>, who: string, line: string): Promise<Reply> {
  const reply = await w.say(who, line);
  if (reply.refused) throw new Error(`${line}\n${text(reply)}`);
  return reply;
}
