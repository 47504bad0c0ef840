/** Messages short enough for a lock screen or a text message, and what is said when a way to somebody has ended. */
export const ways = {
  'short.ask': 'Ja oder Nein sagen:',
  'short.answer': 'Was zu tun ist, und Ihre Antwort:',
  'short.call': 'Was Sie dort sagen, und Ihre Antwort:',
  'short.look': 'Mehr auf Ihrer Seite:',
  'short.noPage': 'Antworten Sie im Chat, oder sagen Sie es jemandem, der dort ist.',
  'drill.page':
    'Niemand ist überfällig. Drücken Sie den Knopf, damit die Gruppe weiß, dass die Probe bei Ihnen ankam.',
  'short.drill':
    'Öffnen Sie die Seite und drücken Sie „{button}“, damit die Gruppe weiß, dass dies bei Ihnen ankam.',
  'short.times': 'Zeiten: die der Wand, UTC{offset}.',

  'way.dm': 'Direktnachricht',
  'way.email': 'E-Mail',
  'way.push': 'Push',
  'way.ntfy': 'ntfy',
  'way.phone': 'Telefon',

  'lost.subject': '{trip}: ein Weg zu Ihnen besteht nicht mehr',
  'lost.push': 'Push-Nachrichten an eines Ihrer Geräte kommen nicht mehr an.',
  'lost.way': 'Nachrichten per {way} kommen nicht mehr an.',
  'lost.still': 'Sie erfahren alles weiterhin per {ways}.',
  'lost.again': 'Auf Ihrer eigenen Seite können Sie Push-Nachrichten wieder einschalten.',
} as const;
