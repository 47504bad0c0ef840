import { reachable } from '../alarm/who.ts';
import type { Button } from '../say/reply.ts';
import { climbers, present, type TripState } from '../trip/state.ts';

const TOPO: Button = {
  label: 'Load the topo',
  tone: 'main',
  press: { path: 'topo load', options: {} },
  ask: { title: 'Load the topo', fields: [{ name: 'file', label: 'A CSV file, a row a pitch' }] },
};
const CLIMBER: Button = {
  label: 'Add a climber',
  press: { path: 'roster add', options: { role: 'climber' } },
  ask: {
    title: 'Add a climber',
    fields: [
      { name: 'name', label: 'Name' },
      { name: 'free', label: 'What they lead free', placeholder: '6c' },
      { name: 'aid', label: 'What they lead on aid', placeholder: 'A2' },
      { name: 'user', label: 'Their account here' },
    ],
  },
};
const GROUND: Button = {
  label: 'Add ground crew',
  press: { path: 'roster add', options: { role: 'ground' } },
  ask: {
    title: 'Who posts from the ground',
    fields: [
      { name: 'name', label: 'Name' },
      { name: 'phone', label: 'Phone' },
      { name: 'user', label: 'Their account here' },
    ],
  },
};
const CONTACT: Button = {
  label: 'Add a contact',
  press: { path: 'roster add', options: { role: 'contact' } },
  ask: {
    title: 'Who waits at home',
    fields: [
      { name: 'name', label: 'Name' },
      { name: 'phone', label: 'Phone' },
      { name: 'email', label: 'E-mail' },
      { name: 'user', label: 'Their account here' },
    ],
  },
};
const PLACE: Button = {
  label: 'Where it is',
  press: { path: 'trip edit', options: {} },
  ask: {
    title: 'Where the wall is',
    fields: [{ name: 'place', label: 'Coordinates from a map', placeholder: '62.10, 6.90' }],
  },
};
const EMERGENCY: Button = {
  label: 'Emergency number',
  press: { path: 'trip edit', options: {} },
  ask: {
    title: 'The local emergency number',
    fields: [{ name: 'emergency', label: 'Number', placeholder: '112' }],
  },
};
const TIMETABLE: Button = {
  label: 'Timetable from a file',
  press: { path: 'shuttle load', options: {} },
  ask: {
    title: 'The shuttle’s timetable',
    fields: [{ name: 'file', label: 'A GTFS feed, a zip file' }],
  },
};
const REHEARSE: Button = {
  label: 'Rehearse the alarm',
  press: { path: 'checkin drill', options: {} },
};

/** What is still to be set up before a party departs, each as one tap and a form. */
export function setUpButtons(state: TripState): Button[] {
  const placed = state.place.lat !== undefined ? [] : [PLACE];
  if (state.pitches.length === 0) return [TOPO, CLIMBER, GROUND, CONTACT, ...placed];
  const contact = present(state).some((p) => p.roles.includes('contact'));
  const undrilled = reachable(state).some(
    (p) => !state.watch.drills.some((d) => d.to === p.id && d.ackedAtMs !== undefined),
  );
  return [
    ...(climbers(state).length === 0 ? [CLIMBER] : []),
    ...(contact ? [] : [CONTACT]),
    ...placed,
    ...(state.emergencyNumber === undefined ? [EMERGENCY] : []),
    ...(state.shuttle === undefined ? [TIMETABLE] : []),
    ...(undrilled ? [REHEARSE] : []),
  ];
}
