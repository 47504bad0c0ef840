import type { App } from '../../src/app/app.ts';
import { type Call, sub } from '../../src/app/command.ts';
import { setWish } from '../../src/app/privacy/wishes.ts';
import { erasePerson, mustStay } from '../../src/record/erase-person.ts';
import { type Kept, keptAbout } from './about.ts';

const options = { sure: { type: 'boolean', description: 'Asked before', hidden: true } } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'privacy erase': typeof options;
  }
}

/** Takes whoever asks out of every trip that is over; where it isn't, later. */
export const erase = sub({
  description: 'Erase what is kept about you',
  access: 'anyone',
  counts: ['privacy'],
  private: true,
  options,
  async run(call, { sure }, app) {
    const { kept, of } = await keptAbout(app, call.actor.id);
    if (kept.length === 0) return { lines: ['Nothing is kept about you here.'], private: true };
    if (sure !== true) return { ...question(call, kept), private: true };
    const lines: string[] = [];
    for (const one of kept) lines.push(await eraseOne(app, call, one));
    if (of > kept.length) lines.push(`${of - kept.length} older trips are left: ask once more.`);
    return { lines, private: true };
  },
});

function question(call: Call, kept: readonly Kept[]) {
  const staying = kept.filter((k) => k.state && mustStay(k.state, call.actor.id) !== undefined);
  return {
    lines: [
      'Erase your name, your account, phone, e-mail and all else that is kept about you, and the words you wrote?',
      'What was climbed and when stays for the others, by "Person 1". It can\'t be brought back.',
      ...(staying.length === 0
        ? []
        : [`Later, when they are over: ${staying.map((k) => k.row.name).join(', ')}.`]),
    ],
    buttons: [
      {
        label: 'Erase it for good',
        tone: 'danger' as const,
        press: { path: 'privacy erase' as const, options: { sure: true } },
      },
    ],
  };
}

async function eraseOne(app: App, call: Call, { row, state }: Kept): Promise<string> {
  const user = call.actor.id;
  if (state === undefined)
    return `${row.name}: can't be read; ask whoever runs this bot to erase it.`;
  const stays = mustStay(state, user);
  if (stays !== undefined) {
    await setWish(app.store, row.id, user, true);
    return stays === 'needed'
      ? `${row.name}: stays while the party is out or an alarm stands, because a rescue may need it. Erased by itself after that.`
      : `${row.name}: you are on its roster. Erased by itself when it is over; to leave it now: /roster remove.`;
  }
  const done = await erasePerson(app, row.id, user, call.atMs);
  await setWish(app.store, row.id, user, false);
  if (done === 'erased') app.changes.tell(row.id);
  return `${row.name}: erased.`;
}
