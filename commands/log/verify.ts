import { importedLines } from '../../src/alarm/words/imported.ts';
import { sub } from '../../src/app/command.ts';
import { followChain } from '../../src/record/chain.ts';
import { lookBack } from '../../src/record/trips.ts';
import { chainLines } from './words.ts';

const options = {} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'log verify': typeof options;
  }
}

/** Follows the chain of the record as it is stored. */
export const verify = sub({
  description: 'Whether the record is as it was told: nothing altered, taken out or moved',
  access: 'look',
  private: true,
  options,
  async run(call, _args, app) {
    const { row, state } = await lookBack(app, call);
    const chain = await followChain(await app.store.sealed(row.id), row.seq);
    return {
      lines: [
        ...chainLines(chain),
        ...importedLines(state, call.atMs),
        ...(chain.holds
          ? [
              'Note the digits and the number of the entry elsewhere: a record made anew by somebody who has the database has others.',
            ]
          : []),
      ],
      private: true,
    };
  },
});
