import type { App } from '../../src/app/app.ts';
import { type Args, type Call, type Options, type Suggest, sub } from '../../src/app/command.ts';
import { type KitLine, kitLines } from '../../src/app/words/kit.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { LIMITS } from '../../src/limits.ts';
import { change } from '../../src/record/change.ts';
import { look } from '../../src/record/trips.ts';
import { nearest } from '../../src/say/near.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line } from '../../src/say/reply.ts';
import { typedText } from '../../src/say/typed.ts';
import { quote } from '../../src/time/duration.ts';
import type { Draft } from '../../src/trip/fact.ts';
import type { ThingTold } from '../../src/trip/kinds/kit.ts';
import { KIT_GROUP_NAMES, KIT_GROUPS } from '../../src/trip/kit-groups.ts';
import { present, type TripState } from '../../src/trip/state.ts';
import { groupCard, kitCard } from './card.ts';

const suggestThings: Suggest = async (call, typed, app) => {
  const { state } = await look(app, call);
  const want = typed.trim().toLowerCase();
  return kitLines(state)
    .filter((l) => l.name.toLowerCase().includes(want))
    .slice(0, 25)
    .map(({ name }) => ({ name: name.slice(0, 100), value: name.slice(0, 100) }));
};

const options = {
  group: {
    type: 'string',
    description: 'Show one group, or put a thing of your own there',
    choices: KIT_GROUPS.map((value) => ({ name: KIT_GROUP_NAMES[value], value })),
  },
  item: {
    type: 'string',
    description: 'A thing of the list, or one of your own',
    maxLength: LIMITS.nameLength,
    suggest: suggestThings,
  },
  amount: {
    type: 'string',
    description: 'How much of it: 18 l, 3; none: it is not taken; usual: as needed',
    maxLength: 20,
  },
  brings: { type: 'string', description: 'Who brings it; nobody', maxLength: LIMITS.nameLength },
  carries: { type: 'string', description: 'Who carries it; nobody', maxLength: LIMITS.nameLength },
  packed: { type: 'boolean', description: 'It is packed' },
  heat: {
    type: 'string',
    description: 'How warm it will be: what a person drinks a day',
    choices: [
      { name: 'cold: 3 l', value: 'cold' },
      { name: 'mild: 3.5 l', value: 'mild' },
      { name: 'hot: 4 l', value: 'hot' },
    ],
  },
  copy: {
    type: 'boolean',
    description: "Take over the list of this channel's last trip, or of yours",
  },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    kit: typeof options;
  }
}

type KitArgs = Args<typeof options>;

/** Litres, kilograms and the bag from party, days and heat; the list by the trade's groups, ticked by a press. */
export const kit = sub({
  description:
    'Water, food, weights and the kit list: who brings and carries what, and what is packed',
  access: 'look',
  options,
  async run(call, args, app) {
    const { item, group, heat, copy } = args;
    if (item === undefined && heat === undefined && copy !== true) {
      if (args.amount !== undefined || args.brings !== undefined || args.carries !== undefined) {
        throw new Refusal('needs-value', ['Of which thing? /kit item:water amount:"18 l"']);
      }
      const { state } = await look(app, call);
      return group === undefined ? kitCard(state, call.atMs) : groupCard(state, group);
    }
    return change(app, call, {
      async decide({ state }) {
        const drafts: Draft[] = [];
        if (heat !== undefined) drafts.push({ kind: 'trip.edited', data: { settings: { heat } } });
        if (copy === true) drafts.push(await copied(app, call, state));
        if (item !== undefined)
          drafts.push({ kind: 'kit.told', data: { things: [toldOf(state, item, args)] } });
        return drafts;
      },
      answer({ before, after, events }) {
        const told = events.at(-1);
        const name = item === undefined ? undefined : lineOf(after, item)?.name;
        const shown = name === undefined ? undefined : kitLines(after).find((l) => l.name === name);
        const card =
          shown === undefined ? kitCard(after, call.atMs) : groupCard(after, shown.group);
        const isNew = shown?.need === undefined && lineOf(before, name ?? '') === undefined;
        const added = shown !== undefined && isNew ? [ownWords(shown)] : [];
        const undo = told === undefined ? [] : [undoButton(told.seq)];
        return {
          ...card,
          lines: [...added, ...card.lines],
          buttons: [...undo, ...(card.buttons ?? [])].slice(0, 25),
        };
      },
    });
  },
});

const sameName = (a: string, b: string) => a.toLowerCase() === b.trim().toLowerCase();

/** Letters and figures alone: `cams sets` is `Cams, sets`. */
const bare = (name: string) =>
  name
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();

/** The line that is meant by a name. */
function lineOf(state: TripState, item: string): KitLine | undefined {
  const lines = kitLines(state);
  return (
    lines.find((l) => sameName(l.name, item)) ?? lines.find((l) => bare(l.name) === bare(item))
  );
}

/** `Added to Rack, a thing of your own: gloves.` */
function ownWords({ name, group }: KitLine): Line {
  return [
    `Added to ${KIT_GROUP_NAMES[group]}, a thing of your own: ${name}. Not taken after all: `,
    { code: `/kit item:${typedText(name)} amount:none` },
  ];
}

/**
 * A name near one of the list may be a slip of the finger; with a group it is meant.
 *
 * @throws Refusal with a press for what may be meant, and one for a thing of their own
 */
function mustBeMeant(state: TripState, item: string, args: KitArgs): void {
  const lines = kitLines(state);
  const near = nearest(
    bare(item),
    lines.map((l) => bare(l.name)),
  );
  const meant = lines.find((l) => bare(l.name) === near);
  if (meant === undefined) return;
  const { amount, brings, carries, packed } = args;
  const rest = Object.fromEntries(
    Object.entries({ amount, brings, carries, packed }).filter(([, v]) => v !== undefined),
  );
  throw new Refusal(
    'no-such-choice',
    [
      `“${quote(item.trim())}” isn’t on the list. Is it ${meant.name}? Nothing is noted yet.`,
      'A thing of your own needs its group: /kit item: group:',
    ],
    [
      {
        label: `I mean ${meant.name}`.slice(0, 80),
        press: { path: 'kit', options: { item: meant.name, ...rest } },
      },
      {
        label: `Add “${item.trim()}” to ${KIT_GROUP_NAMES[meant.group]}`.slice(0, 80),
        press: { path: 'kit', options: { item: item.trim(), group: meant.group, ...rest } },
      },
    ],
  );
}

function toldOf(state: TripState, item: string, args: KitArgs): ThingTold {
  const line = lineOf(state, item);
  const known = state.kit.get((line?.name ?? item).trim().toLowerCase());
  if (line === undefined && known === undefined && args.group === undefined) {
    mustBeMeant(state, item, args);
  }
  const name = line?.name ?? known?.name ?? item.trim();
  if (line === undefined && known === undefined && state.kit.size >= LIMITS.kit) {
    throw new Refusal('too-many', [
      `A kit has at most ${LIMITS.kit} things.`,
      'Take one off: /kit item: amount:none',
    ]);
  }
  const { brings, carries, group, packed } = args;
  const amount = amountOf(args.amount, line?.need?.unit);
  const nothing = [amount, brings, carries, packed].every((value) => value === undefined);
  return {
    name,
    ...(group === undefined ? {} : { group }),
    ...(amount === undefined ? {} : amount),
    ...(brings === undefined ? {} : { brings: personOf(state, brings) }),
    ...(carries === undefined ? {} : { carries: personOf(state, carries) }),
    // Named and nothing else said of it: a tick for what is listed, a new thing else.
    ...(packed !== undefined
      ? { packed }
      : nothing && line !== undefined
        ? { packed: line.told?.packed !== true }
        : {}),
  };
}

function personOf(state: TripState, typed: string): string | null {
  if (/^(nobody|none|no one)$/iu.test(typed.trim())) return null;
  const found = present(state).find(
    (p) => sameName(p.name, typed) || p.id === typed.trim().toLowerCase(),
  );
  if (found !== undefined) return found.id;
  const names = present(state).map((p) => p.name);
  throw new Refusal('no-such-person', [
    `Nobody here goes by that name. There are ${names.join(', ')}.`,
    'Or: nobody',
  ]);
}

/** `18 l`, `5 kg`, `3`; litres of a US gallon and kilograms of a pound where they are typed. */
function amountOf(typed: string | undefined, unit: string | undefined) {
  if (typed === undefined) return undefined;
  const word = typed.trim().toLowerCase();
  if (/^(none|no|0)$/u.test(word)) return { off: true, packed: false };
  if (/^(usual|needed|as needed)$/u.test(word)) return { amount: null, off: false };
  const [, figure, own] =
    /^(\d{1,4}(?:[.,]\d+)?) ?(l|litres?|liters?|gal|gallons?|kg|lbs?|g|sets?|pairs?)?$/u.exec(
      word,
    ) ?? [];
  if (figure === undefined) {
    throw new Refusal('unreadable-value', [
      `amount: “${word}” is no amount.`,
      'Like amount:"18 l", amount:3; none takes it off, usual is what is needed.',
    ]);
  }
  const value = Number(figure.replace(',', '.'));
  const times =
    own?.startsWith('gal') && unit === 'l'
      ? 3.785411784
      : own?.startsWith('lb') && unit === 'kg'
        ? 0.45359237
        : 1;
  return { amount: Math.round(value * times * 10) / 10, off: false };
}

/** So many of a person's earlier trips are looked at for a kit. */
const EARLIER = 5;

/** The last trip with a kit of its own: of this channel, or else of whoever asks, on this server. */
async function lastWithKit(app: App, call: Call): Promise<TripState | undefined> {
  const { channel, guild } = call.where;
  const rows = await app.store.closedTripsOf(call.actor.id, guild, EARLIER);
  const here = rows.filter((row) => row.channel === channel);
  for (const row of [...here, ...rows.filter((r) => r.channel !== channel)]) {
    const loaded = row.seq === 0 ? undefined : await app.records.load(row.id);
    if (loaded !== undefined && loaded.state.kit.size > 0) return loaded.state;
  }
  return undefined;
}

/** The list of the last trip: what was theirs or set; who brings what where they are here again. */
async function copied(app: App, call: Call, state: TripState): Promise<Draft> {
  const last = await lastWithKit(app, call);
  const here = new Map(present(state).map((p) => [p.name.toLowerCase(), p.id]));
  const idOf = (id: string | undefined) => {
    const name = last?.people.find((p) => p.id === id)?.name.toLowerCase();
    return name === undefined ? undefined : here.get(name);
  };
  // Water and food are of each trip its own.
  const things = [...(last?.kit.values() ?? [])]
    .filter((t) => !['water', 'food', 'gas'].includes(t.name.toLowerCase()))
    .map((t): ThingTold => {
      const [brings, carries] = [idOf(t.brings), idOf(t.carries)];
      return {
        name: t.name,
        ...(t.group === undefined ? {} : { group: t.group }),
        ...(t.amount === undefined ? {} : { amount: t.amount }),
        ...(brings === undefined ? {} : { brings }),
        ...(carries === undefined ? {} : { carries }),
        ...(t.off ? { off: true } : {}),
      };
    });
  if (things.length === 0) {
    throw new Refusal('nothing-left', [
      'No earlier trip of yours has a kit of its own to copy.',
      'What is needed by this plan is listed anyway: /kit',
    ]);
  }
  return { kind: 'kit.told', data: { things: things.slice(0, LIMITS.kit) } };
}
