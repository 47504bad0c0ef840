import {
  amountText,
  groupCounts,
  kitFile,
  kitLines,
  leftWaterWords,
  outingWords,
  packedWaterWords,
  whoWords,
} from '../../src/app/words/kit.ts';
import type { Button, Reply } from '../../src/say/reply.ts';
import { bagKgOf } from '../../src/trip/kit.ts';
import { KIT_GROUP_NAMES, type KitGroup } from '../../src/trip/kit-groups.ts';
import type { TripState } from '../../src/trip/state.ts';
import { weightText } from '../../src/trip/units.ts';

/** The figures, what is packed by group, and the list as a file. */
export function kitCard(state: TripState, nowMs: number): Reply {
  const lines = kitLines(state);
  const isOut = state.departedAtMs !== undefined && state.downAtMs === undefined;
  return {
    lines: [
      outingWords(state),
      isOut ? leftWaterWords(state, nowMs) : packedWaterWords(state, nowMs),
      'Packed, by group:',
    ],
    table: {
      head: ['', 'packed', 'of'],
      align: ['left', 'right', 'right'],
      rows: groupCounts(lines).map(({ group, packed, all }) => [
        KIT_GROUP_NAMES[group],
        String(packed),
        String(all),
      ]),
    },
    after: ['Figures and their sources are in the file. Your own pace of drinking overrules them.'],
    buttons: [
      ...groupCounts(lines).map(
        ({ group }): Button => ({
          label: KIT_GROUP_NAMES[group],
          press: { path: 'kit', options: { group } },
        }),
      ),
      ...bagButton(state),
    ],
    files: [
      {
        name: 'kit.txt',
        mime: 'text/plain',
        bytes: new TextEncoder().encode(kitFile(state, lines)),
      },
    ],
  };
}

/** The bag's weight counts in the forecast of the hauls. */
function bagButton(state: TripState): Button[] {
  const kg = Math.round(bagKgOf(state));
  const { bagKg, haulBag } = state.settings;
  if (kg < 1 || (haulBag && bagKg !== undefined && Math.abs(bagKg - kg) < 2)) return [];
  const bag = `${kg} kg`;
  return [
    {
      label: `Haul ${weightText(kg, state.units)} in the forecast`,
      press: { path: 'trip edit', options: { bag } },
    },
  ];
}

/** Presses of one card; a row of five is left for undoing. */
const TICKS = 20;

/** One group, thing by thing, with a press for each that isn't packed. */
export function groupCard(state: TripState, group: KitGroup): Reply {
  const own = kitLines(state).filter((l) => l.group === group);
  const open = own.filter((l) => l.told?.packed !== true);
  return {
    lines: [
      `${KIT_GROUP_NAMES[group]}: ${own.length - open.length} of ${own.length} packed.`,
      ...own.map((line) => {
        const amount = amountText(state, line);
        const who = whoWords(state, line.told);
        const box = line.told?.packed === true ? '[x]' : '[ ]';
        return `${box} ${line.name}${amount === '' ? '' : `: ${amount}`}${who === '' ? '' : ` (${who})`}`;
      }),
      [
        'Who, or how much: ',
        { code: `/kit item:"${own[0]?.name ?? 'rope'}" brings: carries: amount:` },
      ],
    ],
    buttons: open.slice(0, TICKS).map(
      ({ name }): Button => ({
        label: `Packed: ${name}`.slice(0, 80),
        press: { path: 'kit', options: { item: name, packed: true } },
      }),
    ),
  };
}
