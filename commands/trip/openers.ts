import { sub } from '../../src/app/command.ts';
import { openersOf, setOpeners } from '../../src/app/openers.ts';
import { Refusal } from '../../src/say/refusal.ts';

const options = {
  who: {
    type: 'string',
    description: 'Shows who may, unless named',
    choices: [
      { name: 'everyone who may write in the channel', value: 'everyone' },
      { name: 'who may manage its messages', value: 'moderators' },
      { name: 'who manages the server', value: 'managers' },
    ],
  },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trip openers': typeof options;
  }
}

const WORDS = {
  everyone: 'everyone who may write in the channel',
  moderators: 'those who may manage messages in the channel, and managers',
  managers: 'the managers of this server',
};

/** Who may open trips on this server. Trips that are open stay as they are. */
export const openers = sub({
  description: 'Who may open trips on this server; its managers say',
  access: 'anyone',
  managers: true,
  private: true,
  options,
  async run(call, { who }, app) {
    const { guild } = call.where;
    if (guild === undefined) {
      throw new Refusal('may-not-open', 'That is set on a server; here everyone may open a trip.');
    }
    if (who === undefined) {
      return {
        lines: [`Trips are opened by ${WORDS[await openersOf(app.store, guild)]}.`],
        private: true,
      };
    }
    if (call.manager !== true) {
      throw new Refusal('may-not-open', [
        'Only who manages this server says who may open trips on it.',
        'Ask one of them.',
      ]);
    }
    await setOpeners(app.store, guild, who);
    return {
      lines: [
        `From now on trips are opened by ${WORDS[who]}.`,
        'One that nobody should have opened: /trip close in its channel, then /trip purge.',
      ],
      private: true,
    };
  },
});
