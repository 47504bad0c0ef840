import { stopWords } from '../../src/app/words/plan.ts';
import { duration } from '../../src/time/format.ts';
import type { TripState } from '../../src/trip/state.ts';
import { distanceText, type LengthUnit, lengthText, weightText } from '../../src/trip/units.ts';

/** What is set, a line each. */
export function settingsWords(state: TripState): string[] {
  const { settings: s, units, place } = state;
  const length = (m: number) => lengthText(m, units);
  return [
    `Name ${state.name}. Wall time ${state.zone}. Lengths in ${units}.${state.settings.hours === 12 ? ' Times by the 12-hour clock.' : ''}`,
    placeWords(place),
    `Confidence for cutoffs ${Math.round(state.confidence * 100)} %.`,
    `Emergency number ${state.emergencyNumber ?? 'not given'}.`,
    `Lead line ${length(s.leadLineM)}, ${length(s.leadMarginM)} kept back on a link.${lines(state)}`,
    s.haulBag
      ? `Hauling a bag${s.bagKg === undefined ? '' : ` of ${weightText(s.bagKg, units)}`}.`
      : 'No haul bag.',
    ...carriedWords(s),
    `Climbing from ${s.startClock}. ${stopWords(state)}${
      s.firstDay === undefined ? '' : ` First day ${s.firstDay}.`
    }`,
    descentWords(state),
    walkWords(state),
    s.wetHours === 0
      ? 'No wet-rock hold.'
      : `No climbing for ${s.wetHours} h after rain${s.wetSource === undefined ? '' : `, by “${s.wetSource}”`}.${
          s.faces === undefined ? '' : ` It faces ${s.faces}.`
        }`,
  ];
}

/** What was set of beds and approach; silent about what wasn't. */
function carriedWords({ portaledgePlaces, approachMin }: TripState['settings']): string[] {
  const beds =
    portaledgePlaces === 0
      ? 'No portaledge carried.'
      : `Portaledge places carried: ${portaledgePlaces}.`;
  return [
    ...(portaledgePlaces === undefined ? [] : [beds]),
    ...(approachMin === 0 ? [] : [`Approach ${duration(approachMin)} from departing to pitch 1.`]),
  ];
}

/** ` Haul line 60 m. No tag line.`; silent about what isn't given. */
function lines({ settings: s, units }: TripState): string {
  const ropes = [
    ['haul line', s.haulLineM],
    ['tag line', s.tagLineM],
  ] as const;
  return ropes
    .map(([name, m]) => {
      if (m === undefined) return '';
      if (m === 0) return ` No ${name}.`;
      return ` ${name === 'haul line' ? 'Haul' : 'Tag'} line ${lengthText(m, units)}.`;
    })
    .join('');
}

/** `4 km, 0 m up, 650 m down.` */
function way(units: LengthUnit, km: number, upM = 0, downM = 0): string {
  const [up, down] = [upM, downM].map((m) => lengthText(m, units));
  return `${distanceText(km, units)}, ${up} up, ${down} down.`;
}

function placeWords(place: TripState['place']): string {
  if (place.lat === undefined || place.lon === undefined) {
    return `Place ${place.name ?? 'not given'}; no latitude and longitude, so no daylight.`;
  }
  const ns = `${Math.abs(place.lat).toFixed(3)}° ${place.lat < 0 ? 'S' : 'N'}`;
  const ew = `${Math.abs(place.lon).toFixed(3)}° ${place.lon < 0 ? 'W' : 'E'}`;
  return `Place ${place.name === undefined ? '' : `${place.name}, `}${ns} ${ew}.`;
}

function descentWords({ settings: s, units }: TripState): string {
  if (s.descentMin !== undefined) return `Descent to the trailhead ${duration(s.descentMin)}.`;
  if (s.descentKm === undefined) return 'Descent not given.';
  return `Descent ${way(units, s.descentKm, s.descentUpM, s.descentDownM)}`;
}

function walkWords({ settings: s, units }: TripState): string {
  if (s.walkKm === undefined) return 'Walk out without a shuttle not given.';
  return `Walk out without a shuttle ${way(units, s.walkKm, s.walkUpM, s.walkDownM)}`;
}
