/** How an alarm ends, what was agreed, and what the watch has to say of itself. */
export const news = {
  'ended.subject': '{trip}: alarm over',
  'ended.subjectChanged': '{trip}: the watch was changed',
  'ended.heard': '{party} {count, plural, one {was} other {were}} heard from.',
  'ended.heardAs':
    '{party} {count, plural, one {was} other {were}} heard from, {when}: {what} (from {by}).',
  'ended.down': 'Everyone is down. Told by {by}.',
  'ended.downAt': 'Everyone is down, {when}. Told by {by}.',
  'ended.trouble': 'The trouble is over, says {by}.',
  'ended.troubleOf':
    '{who}: {left, select, out {off the wall} other {well}}. “{said}” (told by {by}).',
  'ended.moved':
    'The time {party} {count, plural, one {was} other {were}} late for was moved by {by}.',
  'ended.closed': 'The trip was closed by {by}. Nobody watches the clock any more.',
  'ended.struck':
    'What {party} {count, plural, one {was} other {were}} late for was taken back by {by}.',
  'ended.over': 'The alarm is over.',
  'ended.still': 'An alarm stands all the same. Whoever was called out stays called out.',
  'ended.nobody': 'Nobody has been heard from. Whoever was called out stays called out.',

  'called.subject': '{trip}: the rescue service was called',
  'called.first': '{by} has called the rescue service, {when}.',
  'called.words': '{by} has called the rescue service, {when}: “{words}”',
  'called.then':
    'Nobody else needs to call. Reminders stop; any word from the party still goes to everyone.',

  'standdown.subject': '{trip}: does the rescue service know?',
  'standdown.first': 'Nobody has said yet that the rescue service knows.',
  'standdown.down': 'Everyone is down, {when}.',
  'standdown.tell':
    '{by}: tell the rescue service by {until} what was heard, then say so here; you called them, {called}. Whether help is still needed, they decide.',
  'standdown.tellNow':
    '{by}: tell the rescue service now what was heard, then say so here; you called them, {called}. Whether help is still needed, they decide.',
  'standdown.anyone': 'If you called anyone out, tell them now.',
  'standdown.other': 'If {by} can’t do it, whoever reads this calls {number}.',
  'stooddown.subject': '{trip}: the rescue service knows',
  'stooddown.first': '{by} has told the rescue service, {when}. Nothing more to do.',

  'plan.subject': '{trip}: times',
  'plan.left': '{party} {count, plural, one {has} other {have}} left for {trip}, {when}.',
  'plan.leftUntimed': '{party} {count, plural, one {has} other {have}} left for {trip}.',
  'plan.upAgain':
    'That everyone is down was taken back: they are still up there, and are watched again.',
  'plan.changed': 'The times for {trip} have changed.',
  'plan.number': 'The emergency number is now {number}, set by {by}.',
  'plan.moved':
    '{what, select, topoutMs {The time for the top} downMs {The time for everyone down} other {The call-out time}} moved from {from} to {to} by {by}.',
  'plan.taken':
    '{what, select, topoutMs {The time for the top} downMs {The time for everyone down} other {The call-out time}} was taken away by {by}.',
  'plan.comingDown':
    '{party} {count, plural, one {is} other {are}} coming down since {when}, all well.',
  'plan.parts': 'They go in parts: {parts}.',
  'plan.promise': 'Check-in {when}.',
  'plan.promiseOf': 'Check-in of {who} {when}.',
  'plan.promiseAbout': '{promise} “{about}”',
  'plan.down': 'Everyone down by {when}.',
  'plan.noDown': 'No time for everyone down is agreed.',
  'plan.nightly': 'A check-in every night at {clock}, by the clock of the wall.',
  'plan.callout': 'Call-out time {when}: if nothing is heard by then, call {number}.',
  'plan.noCallout':
    'No call-out time is agreed, when you would call the rescue service: agree one with them.',
  'plan.file':
    'The file puts these times into your calendar, with alarms that need neither us nor a network.',

  'over.subject': '{trip}: everyone is down',
  'over.downCalled': '{party} {count, plural, one {is} other {are}} down, {when}.',
  'over.down': '{party} {count, plural, one {is} other {are}} down, {when}. Nothing more to do.',
  'over.stopped': '{trip}: the watch has stopped',
  'over.notLeft': 'The departure was taken back: the party has not left.',
  'over.closed': 'The trip was closed and nobody said that everyone is down. Ask the party.',
  'over.unwatched':
    'The watch has stopped: nobody is told if they are late. The file takes the times out of your calendar.',

  'drill.subject': '{trip}: rehearsal, nobody is overdue',
  'drill.first':
    'REHEARSAL. Nobody is overdue. {name}, this is how an alarm for {trip} reaches you.',
  'drill.earnest':
    'In earnest it would say what was expected, what was heard last, and what to do; with the sheet from the second step on.',
  'drill.press':
    'Answer with “{button}”, so that the party knows it arrived. If you can’t do that here, tell them.',

  'unreached.subject': '{trip}: {who} can’t be reached',
  'unreached.first': '{who} could not be reached.',
  'unreached.nobody':
    'There is nobody further to tell. Reach them another way: by phone, or through a neighbour.',
  'unreached.instead': '{name} is told instead.',

  'deaf.subject': '{trip}: our chat is cut off',
  'deaf.first':
    'Posts have not reached us since {since}. The trouble is ours: it says nothing about the party.',
  'deaf.watch':
    'The watch goes on, and messages still go out. One may say that they are late though they told us in time.',
  'deaf.ring': 'So ring them, or somebody who is there, before you worry.',
  'deaf.ringPhones': 'So ring before you worry: {phones}.',
  'deaf.nothing': 'You need to do nothing now. We tell you when posts reach us again.',
  'hearing.subject': '{trip}: posts reach tagline again',
  'hearing.first': 'Posts reach tagline again, since {back}. Those from {since} on may be missing.',
  'hearing.then':
    'You need to do nothing: the party and the ground crew were asked to post again what may be missing.',

  'early.subject': '{trip}: told too soon, the time has not come',
  'early.first':
    'The last alarm from here came too soon: the clock of the machine that tells you was wrong.',
  'early.still': 'The time is still to come: {what}.',
  'early.fine': 'Nothing is overdue so far.',
  'early.before': 'What you were told before that stands.',
  'early.called': 'If you called anyone because of it, tell them now.',
  'early.then': 'If nothing is heard by then, you are told again.',
} as const;
