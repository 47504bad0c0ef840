import { sub } from '../../src/app/command.ts';
import { noteOption } from '../../src/app/options.ts';
import { typedWeather } from '../../src/app/weather/typed.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { LIMITS } from '../../src/limits.ts';
import { change } from '../../src/record/change.ts';
import { weatherCard } from './card.ts';

const options = {
  text: {
    type: 'string',
    description: 'Like "rain 50% 22:00–03:00, wind 40 km/h from 14:00"; "none" takes it back',
    required: true,
    maxLength: LIMITS.noteLength,
  },
  source: noteOption('Where it comes from: the hut, radio at 18:00'),
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'weather set': typeof options;
  }
}

/** Takes the place of what was typed before; struck, that holds again. */
export const set = sub({
  description: 'Tell the weather: rain with its chance, wind, thunder, cold, by the hour',
  access: 'post',
  options,
  run: (call, { text, source }, app) =>
    change(app, call, {
      decide({ state }) {
        const { zone, units } = state;
        const none = /^\s*(none|clear|nothing)\s*$/iu.test(text);
        const spells = none ? [] : typedWeather(text, { zone, units, nowMs: call.atMs });
        const says = source?.trim();
        const data = { from: 'typed' as const, text, spells, ...(says ? { says } : {}) };
        return [{ kind: 'weather.told', data }];
      },
      async answer({ after, events }) {
        const { lines, buttons } = await weatherCard(app, after, call.atMs);
        return { lines, buttons: [undoButton(events[0]?.seq ?? 0), ...buttons] };
      },
    }),
});
