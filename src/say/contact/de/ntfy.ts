/** Messages to a topic of an ntfy server: naming it, saying yes there, turning it off; and the order of all ways. */
export const ntfy = {
  'ntfy.title': 'Nachrichten per ntfy',
  'ntfy.about':
    'ntfy ist eine App, die auf einem Telefon Nachrichten zeigt. Lassen Sie sie nachts einen Ton machen: Dann kommen Alarme, mit ihrer höchsten Dringlichkeit.',
  'ntfy.open':
    'Ihr Server kann diese Nachrichten lesen, und jeder, der Ihr Thema kennt. Darin steht, wer spät ist und was zu tun ist. Was jemand geschrieben hat, steht nur auf Ihrer Seite.',
  'ntfy.how':
    'Abonnieren Sie in der App das Thema unten, auf dem Server {server}. Oder nehmen Sie ein eigenes.',
  'ntfy.byLink':
    'Um Ja zu sagen: Nennen Sie unten ein Thema. Auf Ihr Telefon kommt eine Nachricht, und darin sagen Sie Ja.',
  'ntfy.field': 'Ihr Thema, oder seine ganze Adresse',
  'ntfy.turnOn': 'Eine Nachricht dorthin schicken',
  'ntfy.sent': 'Eine Nachricht an Ihr Thema ist unterwegs.',
  'ntfy.sentThen':
    'Öffnen Sie sie in der App und sagen Sie dort Ja. Erst dann bekommen Sie so Bescheid.',
  'ntfy.waits':
    'Ihr Ja fehlt noch, in der Nachricht an {topic}. Wenn keine kam: Sehen Sie nach, ob die App dasselbe Thema und denselben Server hat, und lassen Sie sie noch einmal schicken.',
  'ntfy.on': 'Nachrichten per ntfy sind an, an {topic}.',
  'ntfy.another': 'Ein anderes Thema',
  'ntfy.isOn': 'Nachrichten per ntfy sind an.',
  'ntfy.isOff': 'Nachrichten per ntfy sind aus. Sie bekommen auf Ihren anderen Wegen Bescheid.',
  'ntfy.saidNo':
    'In der Nachricht an dieses Thema hat jemand Nein gesagt. Sagen Sie dort Ja, oder nennen Sie ein anderes Thema.',
  'ntfy.turnOff': 'Nachrichten per ntfy ausschalten',
  'ntfy.gone':
    'Nachrichten per ntfy lassen sich hier nicht mehr einschalten. Geben Sie der Gruppe stattdessen Ihre E-Mail-Adresse.',
  'ntfy.subject': 'Ist das Ihr Thema?',
  'ntfy.ask':
    'Jemand hat dieses Thema als das eigene genannt, für Alarme zu einer Klettertour, deren Kontaktperson er oder sie ist. Wenn Sie es waren, sagen Sie Ja.',
  'ntfy.askElse': 'Wenn nicht, sagen Sie Nein, und es kommt nichts mehr.',
  'asked.refusedHere':
    'Hierher kommt nichts. Auf Ihren anderen Wegen bekommen Sie Bescheid wie bisher.',
  'done.leftHere':
    'Dorthin kommt nichts mehr. Auf Ihren anderen Wegen bekommen Sie Bescheid wie bisher.',
  'page.toNtfy': 'Nachrichten per ntfy',
  'page.toWays': 'Reihenfolge und Zeiten',
  'ways.about':
    'Auf welchem Weg bekommen Sie zuerst Bescheid, und welcher bleibt für den Ernstfall? Wenn der Rettungsdienst zu rufen ist, auf allen zugleich.',
  'ways.place': '{way}: Platz',
  'ways.from': '{way}: wann',
  'ways.always': 'Vom ersten Wort an',
  'ways.alert': 'Wenn sie überfällig sind',
  'ways.distress': 'Wenn der Rettungsdienst zu rufen ist',
  'ways.save': 'So behalten',
  'ways.kept': 'So ist es nun.',
} as const;
