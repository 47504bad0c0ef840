/** Every card of a decision as a phone held upright shows it in plain text: 44 columns, and nothing beyond. */
import stringWidth from 'string-width';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { renderText } from '../../src/chat/local/render.ts';
import type { Reply } from '../../src/say/reply.ts';
import { text, type World, world } from '../helpers/world.ts';
import { FRI, openTwoDays, THU, upTo } from './two-days.ts';

const COLUMNS = 44;

let w: World;
beforeEach(async () => {
  w = await world();
});
afterEach(() => w.close());

async function card(line: string): Promise<Reply> {
  const reply = await w.say('mara', line);
  expect(reply.refused, `${line}\n${text(reply)}`).not.toBe(true);
  return reply;
}

/** As it is shown, line by line. */
const shown = (reply: Reply) => renderText(reply, { width: COLUMNS });

/** The rows of a table stay rows: a broken one is read as two. */
function mustFit(line: string, reply: Reply): void {
  const lines = shown(reply);
  for (const said of lines)
    expect(stringWidth(said), `${line}: ${said}`).toBeLessThanOrEqual(COLUMNS);
  if (reply.table === undefined) return;
  const first = lines.findIndex((said) => said.includes((reply.table?.rows[0]?.[0] ?? '').trim()));
  expect(first, line).toBeGreaterThanOrEqual(0);
  const wide = reply.table.rows.map((row) =>
    lines.some((said) => row.every((cell) => said.includes(cell.trim()))),
  );
  expect(wide.every(Boolean), `${line}: a row is broken`).toBe(true);
}

it('before they go: the plan, the checks, the kit, the weather, the schedule', async () => {
  await openTwoDays(w);
  await card('/trip edit approach_min:30 ropes:"lead 60 haul 60" bag:yes');
  await card('/checkin plan nightly:21:30 down:"fri 20:00" callout:"fri 23:00"');
  await card(
    '/weather set text:"rain 50% thu 22:00–03:00, wind 40 km/h from thu 14:00" source:"the hut"',
  );
  await card('/kit item:water amount:"24 l" packed:true');
  for (const line of [
    '/plan',
    '/plan check:true',
    '/kit',
    '/kit group:rack',
    '/weather show',
    '/topout',
    '/topout details:true',
    '/schedule set',
    '/schedule show',
    '/lead plan',
  ])
    mustFit(line, await card(line));
});

it('on the wall: on, sleep or down; the way down; rain; after it the debrief', async () => {
  await openTwoDays(w);
  await card('/trip edit approach_min:30 ropes:"lead 60 haul 60" bag:yes');
  await card('/kit item:water amount:"24 l" packed:true');
  await card('/schedule set');
  await upTo(w, 4);
  await card(
    '/weather set text:"rain 50% 22:00–03:00, rain 20% fri 14:00–18:00, thunder 10% from 16:00"',
  );
  const choices = await card('/decide');
  expect(choices.lines.length).toBeLessThanOrEqual(9);
  for (const line of [
    '/decide',
    '/decide wait:2h',
    '/decide rain_from:18:00',
    '/retreat compare',
    '/rain show',
    '/weather show',
  ])
    mustFit(line, await card(line));
  w.at(`${THU} 20:45`);
  mustFit('/pitch done', await w.say('greta', '/pitch done'));
  w.at(`${THU} 23:30`);
  mustFit('/decide', await card('/decide'));
  await card('/bivy settle at:21:30');
  w.at(`${FRI} 05:00`);
  await card('/rain start');
  mustFit('/decide', await card('/decide'));
  w.at(`${FRI} 05:30`);
  mustFit('/rain stop', await card('/rain stop'));
  mustFit('/decide', await card('/decide'));
  w.at(`${FRI} 06:00`);
  mustFit('/retreat begin', await card('/retreat begin'));
  w.at(`${FRI} 06:20`);
  mustFit('/retreat rappel', await card('/retreat rappel'));
  mustFit('/topout', await card('/topout'));
  w.at(`${FRI} 09:00`);
  await card('/trip down');
  mustFit('/trip debrief', await card('/trip debrief'));
});
