import { sub } from '../../src/app/command.ts';
import { keptAbout, keptWords } from './about.ts';

const options = {} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'privacy show': typeof options;
  }
}

/** Everything that is kept about whoever asks, trip by trip. */
export const show = sub({
  description: 'What is kept about you, on all trips of this bot',
  access: 'anyone',
  counts: ['privacy'],
  private: true,
  options,
  async run(call, _args, app) {
    const { kept, of } = await keptAbout(app, call.actor.id);
    if (kept.length === 0) return { lines: ['Nothing is kept about you here.'], private: true };
    return {
      lines: [
        `Kept about you on ${of === 1 ? 'one trip' : `${of} trips`}:`,
        ...kept.map((k) => keptWords(k, call.actor.id, app.keepDays)),
        ...(of > kept.length ? [`The newest ${kept.length} are shown.`] : []),
        "What others wrote about you without your name, and copies somebody exported, tagline can't find.",
      ],
      buttons: [{ label: 'Erase it', press: { path: 'privacy erase', options: {} } }],
      private: true,
    };
  },
});
