import { names, reachable, unanswered } from '../../alarm/who.ts';
import { bedAt } from '../../forecast/beds.ts';
import { sleepersOf } from '../../forecast/input.ts';
import type { Forecast } from '../../forecast/model.ts';
import { planDays } from '../../forecast/plan-days.ts';
import { daysOf } from '../../forecast/trip-days.ts';
import { clock, dayClock, duration } from '../../time/format.ts';
import { localDay } from '../../time/zone.ts';
import { departures } from '../../timetable/departures.ts';
import { linkStartsAt, type TripState } from '../../trip/state.ts';
import { lastWayBack } from '../../trip/stations.ts';
import { lengthText } from '../../trip/units.ts';
import { shortFor, waterOf } from '../../trip/water.ts';
import { weatherNow } from '../../trip/weather.ts';
import { holdOf } from '../../trip/wet-rock-hold.ts';
import { oddsWords } from './odds.ts';

/** One check before departure: in order, not, or not known; and what it looked at. */
export interface Check {
  is: 'ok' | 'no' | 'unknown';
  name: string;
  words: string;
}

const MARKS: Readonly<Record<Check['is'], string>> = { ok: 'ok', no: 'NO', unknown: '?' };

/** `NO  Ropes: pitch 7 is 62 m, …`: the word before the colour, for those who see neither well. */
export function checkLines(checks: readonly Check[]): string[] {
  const order = ['no', 'unknown', 'ok'] as const;
  return order.flatMap((is) =>
    checks.filter((c) => c.is === is).map((c) => `${MARKS[is]} ${c.name}: ${c.words}`),
  );
}

/** What is looked at before a party leaves: ropes, ways back, beds, light, shuttle, home, weather, water. */
export function departureChecks(
  state: TripState,
  nowMs: number,
  forecast?: Pick<Forecast, 'rain' | 'topout'>,
): Check[] {
  return [
    ropeCheck(state),
    backCheck(state),
    ...bedCheck(state),
    lightCheck(state, nowMs, forecast),
    ...shuttleCheck(state, nowMs),
    homeCheck(state),
    weatherCheck(state, nowMs, forecast),
    waterCheck(state, nowMs),
  ];
}

function ropeCheck(state: TripState): Check {
  const { leadLineM, leadMarginM } = state.settings;
  const m = (length: number) => lengthText(length, state.units);
  const leads = state.pitches.map((p, i) => {
    const next = linkStartsAt(state, p.number) ? (state.pitches[i + 1]?.lengthM ?? 0) : 0;
    const spareM = next > 0 ? leadMarginM : 0;
    return {
      number: p.number,
      lengthM: p.lengthM + next,
      overM: p.lengthM + next + spareM - leadLineM,
    };
  });
  const longest = leads.reduce((a, b) => (b.overM > a.overM ? b : a), leads[0] ?? NO_LEAD);
  const name = 'Ropes';
  if (longest.number === 0) return { is: 'unknown', name, words: 'no topo yet.' };
  const haul = haulWords(state);
  const short = [
    ...(longest.overM > 0
      ? [
          `the lead from pitch ${longest.number} is ${m(longest.lengthM)}, the lead line ${m(leadLineM)}`,
        ]
      : []),
    ...(haul.short === undefined ? [] : [haul.short]),
  ];
  if (short.length > 0) return { is: 'no', name, words: `${short.join('; ')}.` };
  const lead = `lead line ${m(leadLineM)}, longest lead ${m(longest.lengthM)}`;
  return haul.open === undefined
    ? { is: 'ok', name, words: `${[lead, haul.ok].filter(Boolean).join('; ')}.` }
    : { is: 'unknown', name, words: `${lead}; ${haul.open}.` };
}

/** A bag goes up each pitch in one haul, so the haul line is as long as the longest. */
function haulWords(state: TripState): { short?: string; open?: string; ok?: string } {
  const { haulBag, haulLineM } = state.settings;
  if (!haulBag) return {};
  if (haulLineM === undefined)
    return { open: 'a bag is hauled, and no haul line is told (/trip edit ropes:)' };
  if (haulLineM === 0) return { short: 'a bag is hauled without a haul line' };
  const m = (length: number) => lengthText(length, state.units);
  const longest = state.pitches.reduce((a, b) => (b.lengthM > a.lengthM ? b : a));
  return longest.lengthM > haulLineM
    ? { short: `pitch ${longest.number} is ${m(longest.lengthM)}, the haul line ${m(haulLineM)}` }
    : { ok: `haul line ${m(haulLineM)}` };
}

const NO_LEAD = { number: 0, lengthM: 0, overM: 0 };

function backCheck(state: TripState): Check {
  const name = 'Way back';
  const last = lastWayBack(state);
  const unknown = state.pitches.filter((p) => p.rappel === undefined).length;
  const open =
    unknown === 0
      ? ''
      : ` ${unknown === 1 ? '1 stance is' : `${unknown} stances are`} not known as ${unknown === 1 ? 'a station' : 'stations'}.`;
  if (state.pitches.length === 0) return { is: 'unknown', name, words: 'no topo yet.' };
  if (last === undefined) {
    return {
      is: 'no',
      name,
      words: `no way down by rappel from anywhere with these ropes.${open}`,
    };
  }
  return {
    is: unknown > 0 ? 'unknown' : 'ok',
    name,
    words:
      last >= state.pitches.length
        ? `by rappel from every stance.${open}`
        : `none by rappel above stance ${last}.${open}`,
  };
}

function bedCheck(state: TripState): Check[] {
  return state.bivyPlan.map((night): Check => {
    const pitch = state.pitches[night - 1];
    const party = sleepersOf(state);
    const places = pitch?.places === undefined ? {} : { places: pitch.places };
    const bed = bedAt({ bivy: { kind: pitch?.bivy ?? 'none', ...places } }, party);
    const name = `Bed after ${night}`;
    if (bed !== undefined) return { is: 'ok', name, words: `a ${bed} for ${party.partySize}.` };
    const why =
      pitch?.bivy === 'portaledge'
        ? `portaledges carried sleep ${state.settings.portaledgePlaces ?? 0}`
        : pitch?.bivy === 'ledge'
          ? `the ledge has ${pitch.places} places`
          : 'the topo has none';
    return { is: 'no', name, words: `${why}, you are ${party.partySize}.` };
  });
}

/** Lamps packed, against the hours of dark that the plan or the forecast goes through. */
function lightCheck(
  state: TripState,
  nowMs: number,
  forecast: Pick<Forecast, 'topout'> | undefined,
): Check {
  const name = 'Light';
  const [day, next] = daysOf(state, nowMs).slice(0, 2);
  const darkMin =
    day?.duskMs === undefined || next?.dawnMs === undefined
      ? undefined
      : (next.dawnMs - day.duskMs) / 60_000;
  const lamps = state.kit.get('headlamps');
  const spare = state.kit.get('headlamp batteries, spare sets');
  const late = forecast?.topout.q90;
  const dusk = planDays(state, nowMs).at(-1);
  const lastDusk = daysOf(state, nowMs)[(dusk?.day ?? 1) - 1]?.duskMs;
  const inDark =
    late !== undefined && lastDusk !== undefined && late > lastDusk
      ? ` Cautious top ${dayClock(state.zone, late, nowMs)}, after dusk ${dayClock(state.zone, lastDusk, nowMs)}.`
      : '';
  const dark =
    darkMin !== undefined
      ? `dark ${duration(darkMin)} a night`
      : state.place.lat === undefined || day === undefined
        ? 'dark hours not known without the place'
        : day.darkAllDay === true
          ? 'dark all day'
          : 'no dark at this time of year';
  if (lamps?.off === true)
    return { is: 'no', name, words: `no headlamps are taken; ${dark}.${inDark}` };
  if (lamps?.packed !== true) {
    return { is: 'unknown', name, words: `headlamps not ticked (/kit); ${dark}.${inDark}` };
  }
  if (spare?.packed !== true) {
    return {
      is: 'unknown',
      name,
      words: `headlamps, spare batteries not ticked; ${dark}.${inDark}`,
    };
  }
  return { is: 'ok', name, words: `headlamps and spare batteries; ${dark}.${inDark}` };
}

/** Whoever comes by the day's first shuttle can't have climbed before it and the walk-in; others may. */
function shuttleCheck(state: TripState, nowMs: number): Check[] {
  const [first] = planDays(state, nowMs);
  if (state.shuttle === undefined || first === undefined) return [];
  const { zone, settings, starts } = state;
  const name = `First ${state.shuttle.name}`;
  const today = localDay(zone, first.startMs);
  const from = first.startMs - 86_400_000;
  const leaves = departures(state.shuttle.timetable, from, first.startMs + 86_400_000).find(
    ({ atMs }) => {
      const day = localDay(zone, atMs);
      return day.day === today.day && day.month === today.month;
    },
  );
  if (leaves === undefined) {
    return [{ is: 'no', name, words: 'none runs on the first day.' }];
  }
  const readyMs = leaves.atMs + settings.approachMin * 60_000;
  const at = clock(zone, leaves.atMs);
  const move = clock(zone, first.startMs);
  if (starts.get(1) === 'shuttle' || readyMs <= first.startMs) {
    return [{ is: 'ok', name, words: `${at}, first move ${move}.` }];
  }
  // They may go in on foot, or sleep there: only they know.
  return [
    {
      is: 'unknown',
      name,
      words: `${at}, after the first move at ${move}. If they come by it they climb from ${clock(zone, readyMs)}: /plan day:1 start:shuttle`,
    },
  ];
}

function homeCheck(state: TripState): Check {
  const name = 'Home';
  const people = reachable(state);
  if (people.length === 0) {
    const asked = unanswered(state);
    const words =
      asked.length === 0
        ? 'nobody at home can be reached.'
        : `${names(asked)} ${asked.length === 1 ? 'hasn’t' : 'haven’t'} said yes yet; call them.`;
    return { is: 'no', name, words };
  }
  const undrilled = people.filter(
    (p) => !state.watch.drills.some((d) => d.to === p.id && d.ackedAtMs !== undefined),
  );
  const call =
    state.watch.plan.calloutMs === undefined ? ' No call-out time (/checkin plan callout:).' : '';
  if (undrilled.length > 0) {
    const who = undrilled.map((p) => p.name).join(', ');
    return { is: 'no', name, words: `not rehearsed with ${who} (/checkin drill).${call}` };
  }
  return { is: call === '' ? 'ok' : 'no', name, words: `rehearsed.${call}` };
}

function weatherCheck(
  state: TripState,
  nowMs: number,
  forecast: Pick<Forecast, 'rain'> | undefined,
): Check {
  const name = 'Weather';
  const hold = holdOf(state, nowMs);
  const startMs = planDays(state, nowMs)[0]?.startMs ?? nowMs;
  if (hold.state === 'raining') return { is: 'no', name, words: 'it rains.' };
  if (hold.state === 'holding' && hold.untilMs > startMs) {
    const until = dayClock(state.zone, hold.untilMs, nowMs);
    return { is: 'no', name, words: `the rock is held wet until ${until}.` };
  }
  if (weatherNow(state, nowMs) === undefined) {
    return { is: 'unknown', name, words: 'none told (/weather set).' };
  }
  const rain = forecast?.rain;
  if (rain === undefined) return { is: 'ok', name, words: 'no rain told (/weather show).' };
  const words = `on top before any rain: ${oddsWords(rain.dryTop, state)} (/weather show).`;
  return { is: rain.dryTop >= state.confidence - 0.005 ? 'ok' : 'no', name, words };
}

function waterCheck(state: TripState, nowMs: number): Check {
  const name = 'Water';
  const water = waterOf(state, nowMs);
  const short = shortFor(water, 0);
  if (short === undefined) {
    return { is: 'unknown', name, words: `${water.needed} l needed, not ticked (/kit).` };
  }
  const half = (litres: number) => Math.round(litres * 2) / 2;
  return short > 0
    ? { is: 'no', name, words: `short by ${half(short)} of ${half(water.needed)} l.` }
    : { is: 'ok', name, words: `${half(water.packed ?? 0)} of ${half(water.needed)} l.` };
}
