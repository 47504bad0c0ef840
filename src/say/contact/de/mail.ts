/** At the foot of a mail, in a text for a phone, and in answer to a mail. */
export const mail = {
  'mail.noReplies': 'Eine Mail an diese Adresse liest niemand.',
  'mail.leaveAnswer':
    'Wenn Sie keine Kontaktperson mehr sein wollen, antworten Sie mit {word} allein in der ersten Zeile.',
  'mail.leavePress': 'Wenn Sie keine Kontaktperson mehr sein wollen, mit einem Druck hier:',
  'mail.leavePressOr':
    'Wenn Sie keine Kontaktperson mehr sein wollen, mit einem Druck hier, oder antworten Sie mit {word} allein in der ersten Zeile:',
  'mail.askedPress': 'Sagen Sie Ja oder Nein, mit einem Druck hier:',
  'mail.askedAnswer': 'Beantworten Sie diese Mail mit {yes} oder {no} allein in der ersten Zeile.',
  'mail.askedOrAnswer':
    'Oder beantworten Sie diese Mail mit {yes} oder {no} allein in der ersten Zeile.',
  'mail.leavingAnswer': 'Beantworten Sie diese Mail mit {word} allein in der ersten Zeile.',
  'mail.leavingOrAnswer': 'Oder beantworten Sie diese Mail mit {word} allein in der ersten Zeile.',
  'mail.askedCode':
    'Wenn Sie Ja sagen, geben Sie diesen Code an den Menschen weiter, der Sie fragt; er tippt ihn ein: {code}',
  'mail.askedCodeNo':
    'Wenn Sie Nein sagen, tun Sie nichts, oder geben Sie den Code mit einem Nein weiter.',
  'mail.pageAnswer': 'Antworten Sie hier, auf Ihrer eigenen Seite; dort steht, was bekannt ist:',
  'mail.pageLook': 'Wie es ihnen geht, jederzeit auf Ihrer eigenen Seite:',
  'mail.yours': 'Sie ist nur für Sie; geben Sie den Link nicht weiter.',
  'mail.orAnswer': 'Oder beantworten Sie diese Mail, mit einem davon allein in der ersten Zeile:',
  'mail.answer': 'Beantworten Sie diese Mail, mit einem davon allein in der ersten Zeile:',
  'mail.inChat':
    'Antworten Sie im Chat, oder sagen Sie es jemandem, der dort ist: Er drückt für Sie auf den Knopf.',
  'mail.language': 'Auf Deutsch: {url}',
  'mail.languageAnswer':
    'Auf Deutsch: Beantworten Sie diese Mail mit DEUTSCH allein in der ersten Zeile.',
  'mail.yourPage': 'Ihre Seite',

  'word.yes': 'JA',
  'word.no': 'NEIN',
  'word.leave': 'AUFHÖREN',
  'word.leaveSure': 'JA, AUFHÖREN',
  'word.ack': 'OK',
  'word.called': 'ANGERUFEN',
  'word.fine': 'ES GEHT IHNEN GUT',
  'word.stoodDown': 'DER RETTUNGSDIENST WEISS ES',
  'word.ackMeans': '{word}: Sie kümmern sich',
  'word.calledMeans': '{word}: Sie haben den Rettungsdienst angerufen',
  'word.fineMeans': '{word}: Sie haben selbst von ihnen gehört',
  'word.stoodDownMeans': '{word}: Sie haben ihm gesagt, dass sie in Sicherheit sind',

  'answer.subject': '{trip}: Ihre Antwort',
  'answer.with':
    'Antworten Sie mit einem davon allein in der ersten Zeile. {ack}: Sie kümmern sich. {called}: Sie haben den Rettungsdienst angerufen. {fine}: Sie haben von ihnen gehört.',
  'answer.older':
    'Sie haben eine ältere Nachricht beantwortet, deshalb ist nichts geschehen. Jetzt besteht ein Alarm; in seiner Nachricht steht, was bekannt ist.',
  'answer.olderThen': 'Beantworten Sie dazu jene Nachricht oder diese.',
  'answer.notRead':
    'Das war nicht zu verstehen, deshalb ist nichts geschehen; der Kanal der Gruppe sieht Ihre Worte.',
} as const;
