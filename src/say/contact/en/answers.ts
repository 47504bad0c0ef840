/** What comes of a press or an answer. */
export const answers = {
  'done.contact': '{name} is contact now.',
  'done.contactAlready': '{name} is contact already.',
  'done.contactOut': 'The party is out: the times come by message now, and what stands with them.',
  'done.contactBefore':
    'When the party leaves, the times come by message, with a calendar file. A rehearsal may come before.',
  'done.leaving':
    'The party is out now and counts on you, so you are asked once more by a message.',
  'done.leavingThen':
    'Until you confirm it there, you are told of alarms as before. The party knows that you asked.',
  'done.left': '{name} is not told of alarms here any more, and nobody can ask there again.',
  'done.leftBack': 'If that changes: say yes where you said no.',
  'done.leaveHow': 'To leave, at any time: {command}',
  'done.language': 'You read English here from now on.',
  'done.ack': 'Noted. No reminders to you about this step for {min} min; then you are asked again.',
  'done.ackOnce': 'Noted. You are not reminded of this step.',
  'done.ackStands': 'The alarm stands until there is a word from them.',
  'done.ackNext': 'The next step comes at {when}.',
  'done.drill': 'Noted: the rehearsal arrived. In earnest it comes the same way.',
  'done.noAlarm': 'No alarm stands, so there is nothing to acknowledge.',
  'done.fine': 'Noted: they are fine.',
  'done.fineTo': 'Noted: they are fine. It goes to {names}.',
  'done.called':
    'Noted: the rescue service was called. Everyone who was told hears it, and reminders stop.',
  'done.calledPhone':
    'Keep your phone free, the rescue service may ring back, and the sheet at hand.',
  'done.calledTell': 'If you hear from the party, tell the rescue service first, then here.',
  'done.stoodDown': 'Noted: the rescue service knows. Everyone who was told hears it.',
  'done.heard': 'Noted: they are well, {when}.',
  'done.heardAlready': 'That word stands in the record already, from the last ten minutes.',
  'done.over': 'Over: {who}, {left, select, out {off the wall} other {well}}. “{said}”',
  'done.overTold': 'Everyone who was told hears it.',
  'done.overCall': 'The rescue service was called: tell them as well, now.',
  'done.overMore': 'Another trouble stands: {n}.',
  'done.troubleStands': 'The trouble stands all the same; only who knows that it is over ends it:',
  'done.agreed': 'Changed, as it was asked for:',

  'refused.button-over':
    'That button belongs to something that is over or has changed; nothing is changed. What stands now is in the newest message and on your page.',
  'refused.old-button':
    'This button is from another version of the bot and does nothing now. Use those of the newest message or of your own page, or write /overdue show.',
  'refused.restarting':
    'The bot is being restarted; nothing is changed. Try again in a minute. To call the rescue service, don’t wait for it.',
  'refused.no-alarm': 'No alarm stands here, so nothing is changed.',
  'refused.already-so': 'It is so already; nothing is changed.',
  'refused.unreadable-time':
    'The time could not be read. Write it by the clock of the wall, like 14:20.',
  'refused.time-ahead': 'That time is still to come. Write when it was, by the clock of the wall.',
  'refused.out-of-range': 'That is too long ago, or too much, to be right. Nothing is changed.',
  'refused.sounds-like-trouble':
    'Your words may mean that somebody is hurt or needs help. Nothing is noted yet. If so, report it, and everybody is told at once. If all are well, say so once more.',
  'refused.which-part': 'The party is in parts. Of whom do you speak? Nothing is noted yet.',
  'refused.watch-weaker':
    'The party is out now and counts on you. Nothing is changed yet. If you leave, the other contacts are told in your place, or nobody at home where there is none. The party hears that you left.',
  'refused.last-way':
    'This is the only way by which you are told, so it stays on. Ask the party to add your e-mail address first. Or leave: with the link by which you became contact.',
  'refused.second-person':
    'An alarm stands, so somebody else has to agree. Nothing is changed yet.',
  'refused.no-such-choice': 'That is not the code of an invitation to this trip.',
  'refused.not-yours': 'That is for somebody else to say; nothing is changed.',
  'refused.not-a-contact': 'You were not asked to be contact here.',
  'refused.no-such-trouble': 'No such trouble is open; nothing is changed.',
  'refused.no-trouble': 'No trouble is open; nothing is changed.',
  'refused.closed': 'The trip is closed, so its record stays as it is.',
  'refused.too-often': 'That was asked very often. Wait some minutes, then try once more.',
  'refused.fault':
    'Something went wrong on our side. It may be noted or not: look on your page what stands before you try it once more.',
  'refused.topic-unreadable':
    'That is no topic. It has letters, digits, hyphens and underscores only, or it is an address like https://ntfy.example.org/your-topic.',
  'refused.topic-server':
    'No messages go out to that server from here. Take a topic on the one that is named.',
  'refused.topic-short':
    'That topic is too short: others could guess it and read along. Take one of at least 12 signs.',
  'refused.unreadable-options':
    'Something is missing, or could not be read. Nothing is changed: fill in each line and send it again.',
  'refused.unreachable-contact':
    'No way to you is set up that could be rehearsed. Turn one on, or ask the party to add your e-mail address.',
  'refused.needs-value':
    'Something is missing. Nothing is changed: fill in each line and send it again.',
  'refused.no-such-person': 'Nobody of this trip goes by that name; nothing is changed.',
  'refused.hardly-true': 'That can hardly be right. Look once more; nothing is changed.',
  'refused.all-later':
    'One way has to be used from the first word, or the first would never reach you. Nothing is changed.',
  'refused.not-the-wall':
    'A contact answers alarms; what is climbed is posted by the party and the ground crew. What you heard you can say: that they are well, or that there is trouble.',
  'refused.not-on-roster': 'You are not among the people of this trip here; nothing is changed.',
  'refused.no-trip': 'There is no such trip here, or it is over; nothing is changed.',
  'refused.ambiguous-name':
    'More than one of them can be meant. Write the whole name; nothing is changed.',
  'refused.no-such-entry': 'There is no such entry in the record; nothing is changed.',
  'refused.already-struck': 'That was taken back before.',
  'refused.cannot-strike':
    'Others were told of that, so it is not taken back. Say how it is now instead.',
  'refused.nobody-there': 'Nobody is there whom it could be for; nothing is changed.',
  'refused.no-page': 'There is no page here. Answer by a message, or ask the party.',
  'refused.other': 'That could not be done. In English the reason is:',
  'button.allWell': 'All are well',
  'button.report': 'Report trouble',
  'button.reportWhat': 'What has happened?',
  'button.reportWhere': 'Where are they?',
  'button.undo': 'Undo',
} as const;
