import { reachable } from '../../src/alarm/who.ts';
import type { Line } from '../../src/say/reply.ts';
import { climbers, present, type TripState } from '../../src/trip/state.ts';
import { lengthText } from '../../src/trip/units.ts';

/** What is still to be done before a party departs, the next thing first. */
export function beforeLines(state: TripState, hasPage: boolean): Line[] {
  const needed = neededLine(state);
  if (needed !== undefined) return [needed];
  return [
    [
      'Leads: ',
      { code: '/lead plan' },
      ', ',
      { code: '/lead order' },
      ', ',
      { code: '/lead assign' },
    ],
    ...gaps(state, hasPage),
    ['What to look at before: ', { code: '/plan check:true' }, ', ', { code: '/kit' }],
    ['When you go: ', { code: '/trip depart' }],
  ];
}

/** Without these nothing else makes sense yet. */
function neededLine(state: TripState): Line | undefined {
  if (state.pitches.length === 0) {
    return [
      'Next: the pitches. ',
      { code: '/topo load' },
      ' or ',
      { code: '/topo edit number:1 length:38' },
    ];
  }
  if (climbers(state).length === 0) {
    return ['Next: who climbs. ', { code: '/roster add name:Mara free:6c aid:A2' }];
  }
  if (!present(state).some((p) => p.roles.includes('contact'))) {
    return ['Next: who waits at home. ', { code: '/roster add name:Dana role:contact' }];
  }
  return undefined;
}

function gaps(state: TripState, hasPage: boolean): Line[] {
  const { plan, nightly, promises, drills } = state.watch;
  const timeless =
    plan.downMs === undefined &&
    plan.topoutMs === undefined &&
    nightly === undefined &&
    promises.length === 0;
  const undrilled = reachable(state).some(
    (p) => !drills.some((d) => d.to === p.id && d.ackedAtMs !== undefined),
  );
  const { leadLineM, haulBag } = state.settings;
  const set = new Set(state.entries.flatMap((e) => settingsOf(e)));
  const asks: [boolean, Line][] = [
    [
      !set.has('leadLineM') && !set.has('haulBag'),
      [
        `Ropes and bag, now a lead line of ${lengthText(leadLineM, state.units)} and ${haulBag ? 'a' : 'no'} haul bag: `,
        {
          code: `/trip edit ropes:"${state.units === 'ft' ? 'lead 200 haul 200' : 'lead 60 haul 60'}" bag:yes`,
        },
      ],
    ],
    [
      state.emergencyNumber === undefined,
      ['The local emergency number: ', { code: '/trip edit emergency:112' }],
    ],
    [timeless, ['When a word is due: ', { code: '/checkin plan nightly:21:30 down:"fri 18:00"' }]],
    [plan.calloutMs === undefined, ['The call-out time: ', { code: '/checkin plan callout:' }]],
    [undrilled, ['Rehearse the alarm: ', { code: '/checkin drill' }]],
    [hasPage, ['The page for home: ', { code: '/overdue link' }]],
  ];
  return asks.filter(([is]) => is).map(([, line]) => line);
}

/** The settings that an entry set, unless it was struck. */
function settingsOf({ event, struckBy }: TripState['entries'][number]): string[] {
  if (event.kind !== 'trip.edited' || struckBy !== undefined) return [];
  return Object.keys(event.data.settings ?? {});
}
