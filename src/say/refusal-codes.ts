/**
 * The code of every refusal, with one sentence of what it means. A code says the kind of reason, for
 * scripts, for the log and for whoever looks a case up. The words a user reads stand in the refusal
 * itself. DEVELOPERS.md has the same table, and a test holds the two together.
 */

/** What the rules of a trip refuse (`src/trip/rules/`, `src/trip/admit.ts`). */
export const RULE_CODES = {
  'after-down': 'A pitch was told for a time after everyone was down.',
  'already-struck': 'The entry was struck before.',
  'break-outside': 'A break lies outside the time of its pitch.',
  'break-overlaps': 'A break overlaps another one.',
  'cannot-amend': 'This kind of entry has no such field to amend.',
  'cannot-strike': 'The entry was told to people, or it opens or ends the trip.',
  closed: 'The trip is closed, so its record stays as it is.',
  'depart-after-pitch': 'The departure would come after a pitch that was told.',
  'down-before-pitch': 'Everyone would be down before the departure.',
  'link-off-topo': 'One of the two pitches to link is not on the topo.',
  'link-overlaps': 'A pitch would be in two links.',
  'link-too-long': 'The two pitches together are longer than the lead line allows.',
  night: 'The party is settled already, or it is not settled.',
  'no-such-cutoff': 'No cutoff goes by that name.',
  'no-such-entry': 'The record has no entry of that number, or none for that pitch.',
  'no-such-link': 'The two pitches are not linked.',
  'no-such-person': 'Nobody on the roster, or among those who can be meant, goes by that name.',
  'no-such-pitch': 'The topo has no pitch of that number.',
  'no-such-trouble': 'No such trouble is open.',
  'not-a-climber': 'The person is on the roster but does not lead.',
  'not-readable': 'An entry of the record does not fit its kind, or its kind is unknown.',
  'nothing-to-change': 'Nothing was named that would change.',
  opening: 'A record begins with the opening of its trip, and has one only.',
  'phase-twice': 'The departure, the top-out or the return was told before.',
  'previous-not-done': 'A pitch below is not done yet.',
  'previous-not-reached': 'A pitch below is neither fixed nor done yet.',
  rain: 'It rains by the log already, or no rain was told.',
  retreating: 'The party is retreating, or it is not.',
  'same-person-twice': 'Somebody of that name or account is on the roster already.',
  'time-ahead': 'The told time is still to come.',
  'time-before-previous-pitch': 'The told time lies before that of the pitch below.',
  'time-inside-pitch': 'The told times of one pitch contradict each other.',
  'told-twice': 'The same was told of this pitch before.',
  'too-many': 'There would be more of them than the bot can keep.',
  waiting: 'The party is waiting already, or it is not waiting.',
} as const;

/** What else is refused: by commands, by the record, by a chat. */
const OTHER_CODES = {
  'already-so': 'It is so already.',
  'already-told': 'The pitch was told already, so this can no longer be planned.',
  'ambiguous-name': 'More than one trip, person or direction is meant.',
  'bad-order': 'Two times would come in the wrong order.',
  'button-over': 'What the button belongs to is over, or has changed since.',
  'channel-taken': 'Another trip is open in this channel.',
  fault: 'Something failed on our side; the answer has a reference that stands in the log.',
  'feed-unusable': 'The GTFS feed can not be used.',
  'file-mistakes': 'The file was read, but what it says is wrong.',
  'file-too-large': 'The attached file is larger than what can be read.',
  'file-unreachable': 'The attached file could not be fetched.',
  'file-unreadable': 'The file is not of the form that is asked for.',
  'hardly-true': 'The post can hardly be true, so it is asked back.',
  'needs-value': 'An option has to be named.',
  'no-alarm': 'No alarm stands.',
  'no-end-found': 'The forecast finds no end of the climb within a week.',
  'no-feed': 'No GTFS feed waits to be picked from.',
  'no-page': 'The status page is not turned on.',
  'no-place': 'The place of the wall is not known.',
  'no-room': 'The topo has no room to sleep there.',
  'no-schedule': 'No schedule is set.',
  'no-such-choice': 'What was typed is not among what can be chosen.',
  'no-such-command': 'There is no such command.',
  'no-timetable': 'The shuttle has no timetable.',
  'no-topo': 'The trip has no topo yet.',
  'no-trip': 'No trip is open in this channel, or the one that is meant was erased.',
  'no-trouble': 'No trouble is open.',
  'nobody-there': 'Nobody on the roster is there for it.',
  'not-a-contact': 'The person is not a check-in contact.',
  'not-on-roster': 'Only people of the roster may do this.',
  'not-that-day': 'What is asked for does not happen on that day.',
  'not-the-last-pitch': 'Pitches are added and taken off at the upper end of the topo only.',
  'not-yours': 'It is for somebody else only.',
  'not-the-opener': 'Only the person who opened the trip may do this.',
  'nothing-left': 'No pitch is left that it could be about.',
  'nothing-told': 'Nothing was told yet that it could be about.',
  'not-the-wall': 'Contacts act on alarms; the wall is posted by climbers and ground crew.',
  'old-button': 'The button is from an older release.',
  'options-clash': 'Two options do not go together, or a value comes twice.',
  'out-of-range': 'The value is smaller or larger than what can be right.',
  restarting: 'The bot is stopping.',
  'second-person': 'While an alarm stands a second person has to agree.',
  'sounds-like-trouble': 'The words may mean that somebody is hurt, so they are asked back.',
  'time-past': 'The time, or what it is set for, has passed.',
  'too-often': 'It was asked more often than anybody does by hand.',
  'trouble-open': 'Trouble stands, so this has to wait for its end.',
  'unreachable-contact': 'The contact has neither an account nor an e-mail address.',
  'unreadable-options': 'An option is missing, unknown or of the wrong kind.',
  'unreadable-record': 'An entry of the record can not be read, so the trip is set aside.',
  'unreadable-time': 'The time can not be read, or it can not be told which one is meant.',
  'unreadable-value': 'The value can not be read.',
  'watch-weaker': 'It takes something away from the watch, so it is asked back.',
  'watch-would-end': 'It would leave a party that may be out without its watch.',
  'which-part': 'The party is in parts, or it would be, so it is asked whom the post speaks of.',
  'wet-rock': 'The post lies inside the wet-rock hold, so it is asked back.',
  'wishes-conflict': 'The wishes for the leads can not all be met.',
} as const;

/** Every code there is. */
export const REFUSAL_CODES = { ...RULE_CODES, ...OTHER_CODES } as const;

/** The code of a refusal that comes from a rule of the trip. */
export type RuleCode = keyof typeof RULE_CODES;

/** The code of any refusal. */
export type RefusalCode = keyof typeof REFUSAL_CODES;
