import type { Forecast, PaceFactor } from '../../forecast/model.ts';
import type { Belief } from '../../trip/kinds/pace.ts';
import { nameOf, type TripState } from '../../trip/state.ts';

/** A normal's 90 % point. */
const Z90 = 1.2815515655446004;

const span = ({ factor, low, high }: PaceFactor): string =>
  `${factor.toFixed(2)} (${low.toFixed(2)} to ${high.toFixed(2)})`;

/** `Mara leading 1.10 (0.90 to 1.34), on aid 1.30 (0.98 to 1.72), from 4.` */
function leaderWords(state: TripState, leader: Forecast['pace']['leaders'][number]): string {
  const onAid = state.pitches.some((p) => p.aid !== undefined)
    ? `, on aid ${span(leader.aid)}`
    : '';
  return `${nameOf(state, leader.climber)} leading ${span(leader)}${onAid}, from ${leader.stages}.`;
}

const logSpan = ({ mean, sd }: Belief): string => {
  const [low, middle, high] = [-1, 0, 1].map((z) => Math.exp(mean + z * Z90 * sd).toFixed(2));
  return `${middle} (${low} to ${high})`;
};

/**
 * `Pace taken from Training wall: party 1.32 (1.10 to 1.58) from 14 told; taken over widened, as one wall says little
 * of another.` Nothing where none was taken.
 */
export function takenWords({ takenPace }: Pick<TripState, 'takenPace'>): string[] {
  if (takenPace === undefined) return [];
  const { from, stages, party, leaders } = takenPace;
  return [
    `Pace taken from ${from}: party ${logSpan(party)} from ${stages} told, and that of ${leaders.map((l) => l.name).join(', ')}. Widened, because no two walls are alike.`,
  ];
}

/** `Uneven so far: slow ones are taken to stray 1.3 times as far as the figures say, quick ones 1.0.`; nothing where they were not. */
function unevenWords({ later, sooner }: Forecast['pace']['uneven']): string[] {
  const [slow, quick] = [later.toFixed(1), sooner.toFixed(1)];
  if (slow === '1.0' && quick === '1.0') return [];
  return [
    `Uneven so far: slow pitches are taken to stray ${slow} times as far as the figures say, quick ones ${quick}.`,
  ];
}

/** All that has been learnt of the pace, and how sure it is; before anything is told, what is believed. */
export function paceWords(state: TripState, { pace }: Pick<Forecast, 'pace'>): string[] {
  const { party, leaders, aid, haul, changeover, today, uneven } = pace;
  if (party.stages === 0) {
    return [`Pace: nothing climbed yet. Believed, times the figures: ${span(party)}.`];
  }
  const parts = [
    ...(state.pitches.some((p) => p.aid !== undefined) ? [`aid ${span(aid)}`] : []),
    ...(state.settings.haulBag ? [`hauling ${span(haul)}`] : []),
    `changeovers ${span(changeover)}`,
    `today ${span(today)}`,
  ];
  return [
    `Pace times the figures, more is slower: party ${span(party)} from ${party.stages} told.`,
    `On top of that: ${parts.join(', ')}.`,
    ...leaders.filter((l) => l.stages > 0).map((l) => leaderWords(state, l)),
    ...unevenWords(uneven),
  ];
}
