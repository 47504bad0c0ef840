import { type Chain, shortHash } from '../../src/record/chain.ts';

const WRONG = {
  altered: 'is not what was told, or stands in another place',
  missing: 'is missing',
  erased: 'was emptied, and no entry says why',
};

/** Whether a record is as it was told, in words. */
export function chainLines(chain: Chain): string[] {
  if (!chain.holds) {
    return [
      `The chain is broken: entry ${chain.seq} ${WRONG[chain.why]}.`,
      chain.seq === 1
        ? 'Somebody changed the database by hand, or it is damaged.'
        : `Entries 1 to ${chain.seq - 1} are as they were told. Somebody changed the database by hand, or it is damaged.`,
      'Tell whoever runs this bot; a copy made earlier shows what stood there.',
    ];
  }
  const { entries, head, erased } = chain;
  return [
    `The chain holds: no entry was altered, taken out or moved since it was told. Entry ${entries}: ${shortHash(head)}.`,
    ...(erased.length === 0
      ? []
      : [
          `Erased on request, as the record says: ${erased.length} of them (${erased.join(', ')}).`,
        ]),
  ];
}
