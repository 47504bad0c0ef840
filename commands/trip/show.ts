import { modeWords } from '../../src/alarm/words/mode.ts';
import { sub } from '../../src/app/command.ts';
import { nextLines } from '../../src/app/words/lead.ts';
import { missingWords, rosterWords, routeWords } from '../../src/app/words/trip.ts';
import { readerOf } from '../../src/record/membership.ts';
import { look } from '../../src/record/trips.ts';
import { modeOf } from '../../src/trip/mode.ts';
import { settingsWords } from './settings-words.ts';

const options = {} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trip show': typeof options;
  }
}

export const show = sub({
  description: 'Where the trip stands and what is set',
  access: 'look',
  options,
  async run(call, _args, app) {
    const { state } = await look(app, call);
    const reader = readerOf(state, call.actor.id);
    const missing = missingWords(state, reader).join(', ');
    const mode = modeOf(state, call.atMs).is;
    const climbing = ['preparing', 'going in', 'climbing', 'settled', 'waiting'].includes(mode);
    return {
      lines: [
        `${state.name}: ${modeWords(state, call.atMs)}`,
        `${routeWords(state)} ${rosterWords(state)}`,
        ...(climbing && state.pitches.length > 0 ? nextLines(state).slice(0, 1) : []),
        ...(missing === ''
          ? []
          : [`Still missing: ${missing}${reader === 'contact' ? ': ask the party' : ''}.`]),
        ...settingsWords(state).slice(1),
      ],
    };
  },
});
