import { climb } from '../app/forecast/said.ts';
import { instant, openDemo, type World, ZONE } from '../helpers/world.ts';

/** Nine free pitches, a day's climb for the quick: a ledge after 5, the only place to lie down. */
export const NINE = `pitch,length_m,free,aid,stance,bivy,places,rappel
1,38,5c,,ledge,none,,yes
2,42,6a+,,hanging,none,,yes
3,30,6a,,hanging,none,,yes
4,45,6a,,hanging,none,,yes
5,35,6a,,ledge,ledge,4,yes
6,38,6a,,hanging,none,,yes
7,25,5b,,hanging,none,,yes
8,40,6b,,ledge,none,,yes
9,40,6a,,ledge,none,,yes
`;
export const [THU, FRI, SAT] = ['2031-06-12', '2031-06-13', '2031-06-14'];

/** An instant of the wall's local time. */
export const at = (local: string) => instant(ZONE, local);

/** The evening before: two days from Thursday, the night after 5, a boat home. */
export async function openTwoDays(w: World): Promise<void> {
  await openDemo(w);
  w.file('nine.csv', NINE);
  await climb(w, '2031-06-11', [
    ['19:00', 'mara', '/topo load file:nine.csv'],
    ['19:01', 'mara', '/trip edit start:07:00 stop:21:00 descent_min:120 first_day:2031-06-12'],
    ['19:02', 'mara', '/shuttle add name:boat times:"first 07:20, last 21:20, every 60 min"'],
    ['19:03', 'mara', '/bivy plan pitch:5'],
  ]);
}

/** Pitches done an hour each from seven on Thursday; the last answer. */
export async function upTo(w: World, pitch: number) {
  const posts = Array.from(
    { length: pitch },
    (_, i) => [`${String(8 + i).padStart(2, '0')}:00`, 'greta', '/pitch done'] as const,
  );
  const replies = await climb(w, THU, [
    ['06:30', 'mara', '/trip depart'],
    ['07:00', 'greta', '/pitch start'],
    ...posts,
  ]);
  return replies.at(-1) as Awaited<ReturnType<World['say']>>;
}
