/** What is said while an alarm stands. */
export const alarm = {
  'expected.checkin': 'a check-in at {when}',
  'expected.checkinOf': 'a check-in of {who} at {when}',
  'expected.nightly': 'the nightly check-in at {when}',
  'expected.nightlyOf': 'the nightly check-in of {who} at {when}',
  'expected.topout': 'the top by {when}',
  'expected.down': 'everyone down by {when}',
  'expected.callout': 'everyone down by the call-out time {when}',
  'expected.again': 'a word, or new times, by {when}',
  'expected.silence': 'any word at all by {when}',
  'expected.trouble': 'the end of the trouble told at {when}',
  'expected.about': '{what} (“{about}”)',
  'next.open': 'Still open: {what}.',
  'next.next': 'Next: {what}.',

  'phase.reopened': 'What ended the alarm was taken back: it stands again.',
  'phase.instead': '{who} could not be reached, so you are told.',
  'phase.insteadChannel': 'The channel of the party could not be reached, so you are told.',
  'phase.again':
    'Again: {why, select, trouble {nobody has said that it is over} other {nothing was heard}}.',
  'phase.inHand':
    '{who} took it in hand at {when}{lapsed, select, yes {, and has not confirmed it since} other {}}.',
  'phase.inHandChannel':
    'Somebody in the channel took it in hand at {when}{lapsed, select, yes {, and nobody has confirmed it since} other {}}.',
  'phase.lapsed':
    'You took it in hand at {when}; {why, select, trouble {nobody has said since that it is over} other {nothing was heard since}}.',
  'phase.lapsedCall':
    'Has the rescue service been called? If not, call {number} now. Say so either way.',
  'phase.lapsedAsk': 'Do you still have it? Say so again, or say what you have heard.',
  'phase.outage': 'This comes late: tagline was not watching from {from} to {to}.',
  'phase.deaf':
    'Posts have not reached us since {since}: the chat is cut off. They may have told it all the same. Ring them first.',
  'phase.early':
    'An earlier message about this came too soon: a clock was wrong. The right time is now.',
  'phase.overtaken': 'An older message about this was late on its way. This is how it stands:',
  'phase.unwritten':
    'tagline can write nothing down at the moment (its disk is full, broken or busy): new posts are refused, and this may come twice.',

  'uncertainty.subject': '{trip}: no word yet',
  'uncertainty.first':
    'No word yet from {party} on {trip}. Expected: {what}. Most often they are only slow, or a phone is flat.',
  'uncertainty.try': 'Please try them.',
  'uncertainty.tryPhones': 'Please try them: {phones}.',
  'uncertainty.ground': 'Ask the ground crew, and other climbers there.',
  'uncertainty.groundPhones': 'Ask the ground crew: {phones}, and other climbers there.',
  'uncertainty.next': 'If nothing is heard, you are told more at {when}.',
  'vehicle.unknown': 'If somebody is near: does their vehicle still stand there?',
  'vehicle.known': 'If somebody is near: does the vehicle still stand there? “{vehicle}”.',

  'alert.subject': '{trip}: overdue, please act',
  'alert.first':
    '{party} {count, plural, one {is} other {are}} overdue on {trip}. Expected: {what}.',
  'alert.others': 'Told as well: {names}. Agree who does what.',
  'alert.try': 'Try everyone once more.',
  'alert.tryPhones': 'Try everyone once more: {phones}.',
  'alert.sheet': 'Keep the sheet at hand: it has what a rescue service asks.',
  'alert.noCallout':
    'No time to call the rescue service is agreed. If you reach nobody, call {number} and read them the sheet.',
  'alert.latest': 'Call at {when} at the latest.',
  'alert.callout':
    'If you hear nothing by the call-out time {when}, call {number}. Call sooner if you have reason to fear for them.',

  'distress.subject': '{trip}: call {number} now',
  'distress.subjectNone': '{trip}: call the emergency number now',
  'distress.first': 'Call {number} now.',
  'distress.firstRecent':
    'The call-out time has come. Try them once more; if you reach nobody, call {number} now.',
  'distress.callout':
    '{party} {count, plural, one {is} other {are}} not down from {trip}. Call-out time was {when}.',
  'distress.silent':
    '{party} {count, plural, one {is} other {are}} not down from {trip}. No call-out time stands, and nothing was heard by {when}.',
  'distress.others': 'Told as well: {names}. Agree who makes the call.',
  'distress.sheet':
    'Read them the sheet. Then say that the call was made, so that the others know.',

  'trouble.subject': '{trip}: trouble',
  'trouble.subjectCall': '{trip}: trouble, call the rescue service',
  'trouble.copes':
    'Trouble on {trip}. They cope: no call to the rescue service yet. Keep your phone with you.',
  'trouble.call':
    'Call {number} now: on {trip} {why, select, silent {nothing more was heard of the trouble} other {the rescue service is wanted}}.',
  'trouble.hurt': 'hurt',
  'trouble.unknown': 'not known how they are',
  'trouble.well': 'unhurt',
  'trouble.told':
    '{who} ({condition}): “{what}”. Told {when} by {by}{how, select, radio {, by radio} seen {, who saw it} reached {, by phone} other {}}.',
  'trouble.where': 'Where: “{where}”.',
  'trouble.needs': 'Needed: “{needs}”.',
  'trouble.update': '“{words}” ({when}, {by})',
  'trouble.reach': 'To reach them: {phones}.',
  'trouble.becomes': 'Without another word by {when} you are asked to call the rescue service.',
  'trouble.sooner': 'Call sooner if you have reason to.',
  'trouble.ends':
    'A message or a sign of life doesn’t end this. Only who knows that it is over ends it.',
} as const;
