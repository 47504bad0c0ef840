import type { Reader } from '../../record/membership.ts';
import { climbers, present, type TripState } from '../../trip/state.ts';
import { lengthText } from '../../trip/units.ts';

/** Length of the whole route. */
export function routeWords(state: TripState): string {
  const { pitches, units } = state;
  if (pitches.length === 0) return 'No topo yet.';
  const lengthM = pitches.reduce((sum, p) => sum + p.lengthM, 0);
  return `${pitches.length} pitches, ${lengthText(lengthM, units)}.`;
}

/** `Mara, Jonas, Ines on the wall; Greta, Pål on the ground; Dana at home.` */
export function rosterWords(state: TripState): string {
  const names = (role: 'climber' | 'ground' | 'contact') =>
    present(state)
      .filter((p) => p.roles.includes(role))
      .map((p) => p.name)
      .join(', ');
  const parts = [
    [names('climber'), 'climbing'],
    [names('ground'), 'on the ground'],
    [names('contact'), 'at home'],
  ] as const;
  const said = parts.filter(([who]) => who !== '').map(([who, where]) => `${who} ${where}`);
  return said.length === 0 ? 'Nobody on the roster yet.' : `${said.join('; ')}.`;
}

/** What is still missing before a party may well depart, most important first; to whoever may mend it, how. */
export function missingWords(state: TripState, reader: Reader = 'crew'): string[] {
  const contacts = present(state).filter((p) => p.roles.includes('contact'));
  const gaps: [boolean, string, string][] = [
    [state.pitches.length === 0, 'a topo', '/topo load'],
    [climbers(state).length === 0, 'climbers', '/roster add'],
    [contacts.length === 0, 'a contact at home', '/roster add role:contact'],
    [state.emergencyNumber === undefined, 'the local emergency number', '/trip edit emergency:'],
  ];
  return gaps
    .filter(([is]) => is)
    .map(([, what, how]) => (reader === 'crew' ? `${what} (${how})` : what));
}
