/** A contact's own page, the page of an invitation, and the words to read out. */
export const page = {
  'page.title': '{trip}, {when}',
  'page.head': '{trip}: for {name}',
  'page.back': 'Back to what stands now',
  'page.ring': 'Ring {name}',
  'page.call': 'Call {number}',
  'page.readOut': 'Read this out',
  'page.readOutEnglish': 'The same in English, where they speak no other language',
  'page.heard': 'I have heard from them',
  'page.theyAreWell': 'They are well',
  'page.howKnown': 'How you know',
  'page.howReached': 'They called or wrote to me',
  'page.howRadio': 'Somebody who is there told me',
  'page.howSeen': 'I saw them',
  'page.whenHeard': 'When that was, by the wall’s clock; empty for now',
  'page.whatSaid': 'What they said',
  'page.hurt': 'Is somebody hurt, or do they need help? Say so in the words: it is asked back.',
  'page.sheet': 'The sheet for the rescue service',
  'page.sheetHas':
    'It has names, ages, phone numbers and what they carry. That you opened it is written in the trip’s record.',
  'page.toSheet': 'To the sheet',
  'page.yours':
    'This page is yours alone: what is sent from it goes into the record under your name. Don’t pass the link on.',
  'page.yoursOnly': 'This page is yours alone. Don’t pass the link on.',
  'page.made': 'This page was made {when}. All times are the wall’s ({zone}).',
  'page.madeBoth':
    'This page was made {when}. Times are the wall’s ({zone}), and in brackets yours ({own}).',
  'page.notUnderstood':
    'This was not understood, and nothing was done. Look once more and send it again.',
  'page.changed':
    'The alarm has changed since that page was made, so nothing was done. What stands now is below.',
  'page.language': 'Language',
  'page.imported': 'A part of the record came from a file that {by} brought in.',

  'gone.title': 'This link does not work',
  'gone.why':
    'It was withdrawn, the trip has ended, or it was never a link. Ask the party for a new one.',
  'gone.worried': 'If you are worried about somebody, call the local emergency number.',
  'unread.title': 'This trip can’t be shown',
  'unread.first':
    'tagline can’t read its record any more. It doesn’t know how the party is, and nobody watches its clock.',
  'unread.then':
    'Go by what the party told you: when they meant to be heard from, and whom to call. If that time has passed, or you fear for them, call the local emergency number.',
  'unread.again':
    'Ask the party and their ground crew. This page tries again each time it is opened.',
  'unread.operator': 'Whoever runs this bot finds it in the log as trip {trip}, entry {seq}.',
  'sheet.ask': 'Open the sheet for {trip}?',
  'sheet.for':
    'It is for reading to the rescue service: names, ages, phone numbers, medical notes, equipment, plan.',
  'sheet.noted':
    'Opening it is written in the trip’s record, where the party sees it. Pass it on for that purpose only.',
  'sheet.open': 'Open the sheet',
  'sheet.back': 'Back',
  'asked.title': 'Contact at home',
  'asked.head': '{name}: contact at home?',
  'asked.agreed': 'You are contact for {trip}: you are told when they are not heard from in time.',
  'asked.toPage': 'To your own page',
  'asked.refused': 'You said no to being contact for {trip}. You are told nothing.',

  'stands.callout': 'The call-out time {when} has passed',
  'stands.silence': 'Nothing was heard by {when}',
  'stands.trouble': 'Trouble since {when}',
  'stands.overdue': 'Overdue since {when}',
  'stands.told': 'Told: {names}.',
  'stands.inHand': '{name} (has it in hand)',
  'stands.called': 'The rescue service was called; noted {when} by {by}.',
  'page.stale': 'Nothing newer is known; what follows is a projection from then.',
  'page.whatNow': 'What to do now',
  'page.whatIf': 'What to do if nothing is heard',
  'page.stepNow': 'Now, since {when}: {what}',
  'page.stepFrom': 'From {when}: {what}',
  'page.number': 'Emergency number:',
  'step.due':
    'the party and the ground crew are asked. Nothing for you to do yet: most often they are only slow, or a phone is flat.',
  'step.uncertainty':
    'tagline tells {who}. Try to reach the party and the ground crew; ask whether their vehicle still stands there.',
  'step.alert':
    'tagline tells {who}. Try everyone once more, agree who does what, and have the sheet at hand.',
  'step.distress':
    'this is the call-out time. If nobody has been reached, call {number} and read out the sheet. Call sooner if you have reason to fear for them.',
  'step.silence':
    'nothing was heard for too long, and no call-out time stands. If nobody has been reached, call {number} and read out the sheet. Call sooner if you have reason to fear for them.',
  'step.called':
    'the rescue service has been called. Keep your phone free, they may ring back, and the sheet at hand. If you hear from the party, tell the rescue service first.',
  'step.you': 'you',
  'step.contact': 'the contact at home',
  'page.isDown': 'Everyone is down. Nothing falls due any more.',
  'page.notLeft': 'They have not departed yet, so nothing falls due.',
  'page.nothingDue': 'No check-in is promised and no time is agreed.',
  'page.missed': 'Expected and not heard: {what}.',
  'page.expected': 'Expected next: {what}.',
  'page.howItGoes': 'How it goes',
  'page.forecastTop': 'They are likely on top by {likely}; nine times in ten by {late}.',
  'page.forecastBack': 'They are likely back by {likely}; nine times in ten by {late}.',
  'page.forecastNote':
    'A forecast, not a decision: the party on the wall decides. A later time is no alarm.',
  'page.timeline': 'What was heard, newest first',
  'page.entry': '{when}: {what} ({by})',
  'page.entryTold': '{when}: {what} ({by}, told {told})',
  'page.entryDown': '{when}: everyone down',

  'mode.preparing': 'They are preparing and have not left yet.',
  'mode.goingIn': 'They left {when} and are on the way to the wall.',
  'mode.climbing': 'They are climbing: {done} of {all} pitches done.',
  'mode.settled': 'They have settled for the night, since {when}.',
  'mode.waiting': 'They are waiting, since {when}: {done} of {all} pitches done.',
  'mode.retreating': 'They are coming down without having reached the top, since {when}.',
  'mode.goingDown': 'They were on top, and are on the way down.',
  'mode.down': 'Everyone is down, {when}.',
  'mode.closed': 'The trip was closed, {when}.',
  'mode.parts': 'They go in parts: {parts}.',

  'script.me': 'My name is {name}. I am at home; I am not with them.',
  'script.mePhone': 'My name is {name}, my phone is {phone}. I am at home; I am not with them.',
  'script.overdue': 'A climbing party is overdue, and nobody can reach them.',
  'script.trouble': 'A climbing party is in trouble: {trouble}',
  'script.who': '{count, plural, one {# person is} other {# people are}} up there: {names}.',
  'script.wall': 'The wall: {wall}.',
  'script.position': 'Position {position}.',
  'script.mode': 'As last told: {mode}',
  'script.nothing': 'Nothing was heard from them.',
  'script.heard': 'Last heard {when}: {what}, from {by}.',
  'script.callBy': 'They asked for a call by {when}.',
  'script.downBy': 'Everyone was to be down by {when}.',
  'script.sheet':
    'I have a sheet with what they carry, what they planned, and their phone numbers.',

  'calendar.down': '{trip}: everyone should be down',
  'calendar.downText': '{party} agreed to be down by now{count, plural, one {} other {}}.',
  'calendar.downTry': 'Nothing heard? Try their phones: {phones}.',
  'calendar.callout': '{trip}: call-out time',
  'calendar.calloutText': 'If you have heard nothing of {party} by now, call {number}.',
  'calendar.calloutTell':
    'Tell them: {trip}, {count, plural, one {# person} other {# people}}. Phones: {phones}.',
  'calendar.note': 'tagline is no rescue service and calls nobody.',
  'calendar.noPhones': 'none given',
  'calendar.checkin': '{trip}: check-in due',
  'calendar.nightly': '{trip}: nightly check-in due',
  'calendar.checkinText': '{party} promised a word by now{count, plural, one {} other {}}.',
  'calendar.about': '“{about}”',
  'calendar.dropped': '{trip}: no longer due',
} as const;
