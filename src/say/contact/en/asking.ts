/** Asking somebody to be contact, and their leaving. */
export const asking = {
  'invite.subject': 'Will you be the contact at home for {opener}?',
  'invite.first': '{name}, you are asked for something.',
  'invite.role':
    '{opener} asks you to be check-in contact for a climb, “{trip}”: the person at home who is told when the climbers are not heard from in time.',
  'invite.usual':
    'Most often it is a slow day or a flat phone, and you try to reach them. If nobody is heard by an agreed time, you call the rescue service; you are given the number and what to say.',
  'invite.answers':
    'You are told of nothing unless you say yes, and you can leave at any time. After a no nobody can ask you here again.',
  'invite.silence':
    'If you do not answer, there is one more message only if they are so late that the rescue service should be called and nobody else at home has said yes.',
  'invite.byLink':
    'You are told of nothing unless you say yes, and you can leave at any time on this page. Keep its link.',

  'last.subject':
    '{trip}: {party} {why, select, trouble {in trouble} other {overdue}}, can you help?',
  'last.first':
    '{name}, you were asked to be contact for {opener} and have not answered. Nobody else at home has said yes, so you are told this once.',
  'last.late':
    '{party} {count, plural, one {is} other {are}} not back from {wall}. Somebody should have heard from them by {when}.',
  'last.trouble': 'The party on {wall}, {party}, needs help. {who}: {condition}, told {when}.',
  'last.heard': 'Last heard from them: {when}.',
  'last.try': 'If you know them: try to reach them now. If you can’t, call {number} and say this.',
  'last.tryTrouble':
    'If you know them: try to reach them now. Call {number} and say this, unless you hear that somebody has.',
  'last.answer':
    'Say yes, and you are shown all that is known. If you do not know these people, say no, and nothing more comes.',

  'leaving.subject': '{trip}: do you really want to leave?',
  'leaving.first':
    'You asked not to get these messages. {party} {count, plural, one {is out now and counts} other {are out now and count}} on you, so nothing is changed yet.',
  'leaving.then':
    'To leave all the same, say so once more. To stay, do nothing. They know that you asked.',

  'left.subject': '{trip}: {name} is no longer a contact',
  'left.first': '{name} is no longer a contact of {trip}. Do not count on them for this alarm.',
  'left.hand': '{name} had taken it in hand at {when}.',
  'left.others': 'Told as well: {names}. Agree who does what.',
  'left.alone': 'Nobody else at home is told of it.',

  'removed.subject': '{trip}: you are no longer a contact',
  'removed.first':
    'You were taken off the list of contacts of {trip} by {by}. You are not told of missed times any more.',
  'removed.alarm': 'If an alarm stands that you were told of, you hear how it ends.',
  'removed.file': 'The file takes the times out of your calendar.',

  'agree.subject': '{trip}: do you agree to a change?',
  'agree.first': '{asker} asks for a change while an alarm stands:',
  'agree.then':
    'Nothing is changed unless somebody else agrees. Agree only if you know why; else do nothing.',
} as const;
