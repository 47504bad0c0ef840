/** At the foot of a mail, in a text for a phone, and in answer to a mail. */
export const mail = {
  'mail.noReplies': 'A mail to this address is not read.',
  'mail.leaveAnswer': 'To be contact no more, answer with {word} alone in the first line.',
  'mail.leavePress': 'To be contact no more, by one press:',
  'mail.leavePressOr':
    'To be contact no more, by one press, or answer this mail with {word} alone in the first line:',
  'mail.askedPress': 'Say yes or no here, by one press:',
  'mail.askedAnswer': 'Answer this mail with {yes} or {no} alone in the first line.',
  'mail.askedOrAnswer': 'Or answer this mail with {yes} or {no} alone in the first line.',
  'mail.leavingAnswer': 'Answer this mail with {word} alone in the first line.',
  'mail.leavingOrAnswer': 'Or answer this mail with {word} alone in the first line.',
  'mail.askedCode': 'To say yes, give this code to who asks you; they type it in: {code}',
  'mail.askedCodeNo': 'To say no, do nothing, or give it to them with a no.',
  'mail.pageAnswer': 'Answer here, and see what is known, on your own page:',
  'mail.pageLook': 'How it goes, at any time, on your own page:',
  'mail.yours': "It is yours alone; don't pass it on.",
  'mail.orAnswer': 'Or answer this mail, alone in the first line:',
  'mail.answer': 'Answer this mail, alone in the first line:',
  'mail.inChat':
    'Answer in the chat, or tell somebody who is there: they press the button for you.',
  'mail.language': 'In English: {url}',
  'mail.languageAnswer': 'In English: answer this mail with ENGLISH alone in the first line.',
  'mail.yourPage': 'Your page',

  'word.yes': 'YES',
  'word.no': 'NO',
  'word.leave': 'LEAVE',
  'word.leaveSure': 'YES, LEAVE',
  'word.ack': 'OK',
  'word.called': 'CALLED',
  'word.fine': 'THEY ARE WELL',
  'word.stoodDown': 'THE RESCUE SERVICE KNOWS',
  'word.ackMeans': '{word}: you have it in hand',
  'word.calledMeans': '{word}: you have called the rescue service',
  'word.fineMeans': '{word}: you have heard from them yourself',
  'word.stoodDownMeans': '{word}: you have told it that they are safe',

  'answer.subject': '{trip}: your answer',
  'answer.with':
    'Answer with one of these alone in the first line. {ack}: you have it in hand. {called}: you have called the rescue service. {fine}: you have heard from them.',
  'answer.older':
    'You answered an older message, so nothing was done. An alarm stands now; its message says what is known.',
  'answer.olderThen': 'To act on it, answer that message, or this one.',
  'answer.notRead':
    'That was not understood, so nothing was done; the party’s channel sees your words.',
} as const;
