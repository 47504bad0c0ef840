/** Messages short enough for a lock screen or a text message, and what is said when a way to somebody has ended. */
export const ways = {
  'short.ask': 'Say yes or no:',
  'short.answer': 'What to do, and your answer:',
  'short.call': 'What to say to them, and your answer:',
  'short.look': 'More on your page:',
  'short.noPage': 'Answer in the chat, or tell somebody who is there.',
  'drill.page':
    'Nobody is overdue. Press the button, so that the party knows the rehearsal reached you.',
  'short.drill': 'Open the page and press “{button}”, so that the party knows this reached you.',
  'short.times': 'Times: the wall’s, UTC{offset}.',

  'way.dm': 'direct message',
  'way.email': 'e-mail',
  'way.push': 'push',
  'way.ntfy': 'ntfy',
  'way.phone': 'phone',

  'lost.subject': '{trip}: one way to reach you has ended',
  'lost.push': 'Push messages to one of your devices no longer arrive.',
  'lost.way': 'Messages by {way} no longer arrive.',
  'lost.still': 'You are still told by {ways}.',
  'lost.again': 'You can turn push messages on again on your own page.',
} as const;
