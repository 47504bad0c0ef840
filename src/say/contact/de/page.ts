/** A contact's own page, the page of an invitation, and the words to read out. */
export const page = {
  'page.title': '{trip}, {when}',
  'page.head': '{trip}: für {name}',
  'page.back': 'Zurück zu dem, was jetzt gilt',
  'page.ring': '{name} anrufen',
  'page.call': '{number} anrufen',
  'page.readOut': 'Lesen Sie dies vor',
  'page.readOutEnglish': 'Dasselbe auf Englisch, wenn dort niemand Deutsch spricht',
  'page.heard': 'Ich habe von ihnen gehört',
  'page.theyAreWell': 'Es geht ihnen gut',
  'page.howKnown': 'Woher Sie es wissen',
  'page.howReached': 'Sie haben mich angerufen oder mir geschrieben',
  'page.howRadio': 'Jemand, der dort ist, hat es mir gesagt',
  'page.howSeen': 'Ich habe sie gesehen',
  'page.whenHeard': 'Wann das war, nach der Uhr an der Wand; leer für jetzt',
  'page.whatSaid': 'Was sie gesagt haben',
  'page.hurt':
    'Ist jemand verletzt, oder brauchen sie Hilfe? Schreiben Sie es dazu: Wir fragen nach.',
  'page.sheet': 'Das Blatt für den Rettungsdienst',
  'page.sheetHas':
    'Darauf stehen Namen, Alter, Telefonnummern und was sie dabei haben. Dass Sie es geöffnet haben, wird im Protokoll der Tour notiert.',
  'page.toSheet': 'Zum Blatt',
  'page.yours':
    'Diese Seite ist nur für Sie: Was von hier kommt, steht unter Ihrem Namen im Protokoll. Geben Sie den Link nicht weiter.',
  'page.yoursOnly': 'Diese Seite ist nur für Sie. Geben Sie den Link nicht weiter.',
  'page.made': 'Diese Seite ist von {when}. Alle Zeiten sind die der Wand ({zone}).',
  'page.madeBoth':
    'Diese Seite ist von {when}. Die Zeiten sind die der Wand ({zone}), in Klammern Ihre ({own}).',
  'page.notUnderstood':
    'Das war nicht zu verstehen, und nichts ist geschehen. Sehen Sie noch einmal hin und schicken Sie es wieder.',
  'page.changed':
    'Der Alarm hat sich geändert, seit die Seite gemacht wurde, deshalb ist nichts geschehen. Was jetzt gilt, steht unten.',
  'page.clock': 'Ihre Uhr',
  'page.clockKept': 'Notiert: Ab jetzt steht Ihre Zeit neben der an der Wand, auch in Nachrichten.',
  'page.clockWall': 'Notiert: Die Zeiten sind allein die an der Wand.',
  'page.language': 'Sprache',
  'page.imported': 'Ein Teil des Protokolls kam aus einer Datei von {by}.',

  'gone.title': 'Dieser Link führt nirgends hin',
  'gone.why':
    'Er wurde zurückgezogen, die Tour ist vorbei, oder es war nie ein Link. Fragen Sie die Gruppe nach einem neuen.',
  'gone.worried': 'Wenn Sie sich um jemanden sorgen, rufen Sie die örtliche Notrufnummer an.',
  'unread.title': 'Diese Tour lässt sich nicht zeigen',
  'unread.first':
    'tagline kann ihr Protokoll nicht mehr lesen. Es weiß nicht, wie es der Gruppe geht, und niemand wacht über ihre Zeiten.',
  'unread.then':
    'Richten Sie sich nach dem, was die Gruppe Ihnen gesagt hat: wann sie sich melden wollte und wen Sie anrufen sollen. Wenn diese Zeit vorbei ist oder Sie Angst um sie haben, rufen Sie die örtliche Notrufnummer an.',
  'unread.again':
    'Fragen Sie die Gruppe und ihre Helfer am Boden. Diese Seite versucht es bei jedem Öffnen wieder.',
  'unread.operator':
    'Wer diesen Bot betreibt, findet es im Logbuch als Tour {trip}, Eintrag {seq}.',
  'sheet.ask': 'Das Blatt öffnen ({trip})?',
  'sheet.for':
    'Es ist zum Vorlesen beim Rettungsdienst: Namen, Alter, Telefonnummern, Gesundheit, Ausrüstung, Plan.',
  'sheet.noted':
    'Dass Sie es öffnen, steht im Protokoll der Tour, wo die Gruppe es sieht. Geben Sie es nur dafür weiter.',
  'sheet.open': 'Das Blatt öffnen',
  'sheet.back': 'Zurück',
  'asked.title': 'Kontaktperson zu Hause',
  'asked.head': '{name}: Kontaktperson zu Hause?',
  'asked.agreed':
    'Sie sind Kontaktperson ({trip}): Sie erfahren, wenn sie sich nicht rechtzeitig melden.',
  'asked.toPage': 'Zu Ihrer eigenen Seite',
  'asked.refused': 'Sie wollen keine Kontaktperson sein ({trip}). Sie erfahren nichts.',

  'stands.callout': 'Die Alarmzeit {when} ist vorbei',
  'stands.silence': 'Bis {when} kam keine Nachricht',
  'stands.trouble': 'Notlage seit {when}',
  'stands.overdue': 'Überfällig seit {when}',
  'stands.told': 'Benachrichtigt: {names}.',
  'stands.inHand': '{name} (kümmert sich)',
  'stands.called': 'Der Rettungsdienst wurde angerufen; notiert {when} von {by}.',
  'page.stale': 'Neueres ist nicht bekannt; was folgt, ist von da an gerechnet.',
  'page.whatNow': 'Was jetzt zu tun ist',
  'page.whatIf': 'Was zu tun ist, wenn keine Nachricht kommt',
  'page.stepNow': 'Jetzt, seit {when}: {what}',
  'page.stepFrom': 'Ab {when}: {what}',
  'page.number': 'Notrufnummer:',
  'step.due':
    'Die Gruppe und die Helfer am Boden werden gefragt. Für Sie ist noch nichts zu tun: Meistens sind sie nur langsam, oder ein Akku ist leer.',
  'step.uncertainty':
    'tagline benachrichtigt {who}. Versuchen Sie, die Gruppe und die Helfer am Boden zu erreichen; fragen Sie, ob ihr Auto noch dort steht.',
  'step.alert':
    'tagline benachrichtigt {who}. Versuchen Sie noch einmal alle, sprechen Sie sich ab, wer was tut, und halten Sie das Blatt bereit.',
  'step.distress':
    'Das ist die Alarmzeit. Wenn niemand zu erreichen war, rufen Sie {number} an und lesen Sie das Blatt vor. Rufen Sie früher an, wenn Sie Grund zur Sorge haben.',
  'step.silence':
    'Zu lange kam keine Nachricht, und keine Alarmzeit ist vereinbart. Wenn niemand zu erreichen war, rufen Sie {number} an und lesen Sie das Blatt vor. Rufen Sie früher an, wenn Sie Grund zur Sorge haben.',
  'step.called':
    'Der Rettungsdienst ist angerufen. Halten Sie Ihr Telefon frei, er ruft vielleicht zurück, und das Blatt bereit. Wenn Sie von der Gruppe hören, sagen Sie es zuerst dem Rettungsdienst.',
  'step.you': 'Sie',
  'step.contact': 'die Kontaktperson zu Hause',
  'page.isDown': 'Alle sind unten. Es wird nichts mehr erwartet.',
  'page.notLeft': 'Sie sind noch nicht aufgebrochen, deshalb wird noch nichts erwartet.',
  'page.nothingDue': 'Keine Meldung ist versprochen und keine Zeit vereinbart.',
  'page.missed': 'Erwartet und nicht gehört: {what}.',
  'page.expected': 'Als Nächstes erwartet: {what}.',
  'page.howItGoes': 'Wie es vorangeht',
  'page.forecastTop':
    'Wahrscheinlich sind sie bis {likely} am Gipfel; in neun von zehn Fällen bis {late}.',
  'page.forecastBack':
    'Wahrscheinlich sind sie bis {likely} zurück; in neun von zehn Fällen bis {late}.',
  'page.forecastNote':
    'Das ist eine Vorhersage und keine Entscheidung: Die Gruppe in der Wand entscheidet. Eine spätere Zeit ist kein Alarm.',
  'page.timeline': 'Was gehört wurde, das Neueste zuerst',
  'page.entry': '{when}: {what} ({by})',
  'page.entryTold': '{when}: {what} ({by}, gemeldet {told})',
  'page.entryDown': '{when}: alle unten',

  'mode.preparing': 'Sie bereiten sich vor und sind noch nicht aufgebrochen.',
  'mode.goingIn': 'Sie sind seit {when} auf dem Weg zur Wand.',
  'mode.climbing': 'Sie klettern: {done} von {all} Seillängen geschafft.',
  'mode.settled': 'Sie haben ihr Nachtlager bezogen, seit {when}.',
  'mode.waiting': 'Sie warten, seit {when}: {done} von {all} Seillängen geschafft.',
  'mode.retreating': 'Sie kommen herunter, ohne am Gipfel gewesen zu sein, seit {when}.',
  'mode.goingDown': 'Sie waren am Gipfel und sind auf dem Weg hinunter.',
  'mode.down': 'Alle sind unten, {when}.',
  'mode.closed': 'Die Tour wurde geschlossen, {when}.',
  'mode.parts': 'Sie gehen getrennt: {parts}.',

  'script.me': 'Mein Name ist {name}. Ich bin zu Hause; ich bin nicht bei ihnen.',
  'script.mePhone':
    'Mein Name ist {name}, meine Telefonnummer ist {phone}. Ich bin zu Hause; ich bin nicht bei ihnen.',
  'script.overdue': 'Eine Gruppe von Kletterern ist überfällig, und niemand kann sie erreichen.',
  'script.trouble': 'Eine Gruppe von Kletterern ist in Not: {trouble}',
  'script.who': '{count, plural, one {# Person ist} other {# Personen sind}} dort oben: {names}.',
  'script.wall': 'Die Wand: {wall}.',
  'script.position': 'Position {position}.',
  'script.mode': 'Zuletzt bekannt: {mode}',
  'script.nothing': 'Es gab keine Nachricht von ihnen.',
  'script.heard': 'Zuletzt gehört {when}: {what}, von {by}.',
  'script.callBy': 'Sie haben um einen Anruf gebeten, wenn bis {when} nichts kommt.',
  'script.downBy': 'Alle sollten bis {when} unten sein.',
  'script.sheet':
    'Ich habe ein Blatt mit dem, was sie dabei haben, was sie vorhatten, und ihren Telefonnummern.',

  'calendar.down': '{trip}: alle sollten unten sein',
  'calendar.downText':
    '{party} {count, plural, =0 {wollte} one {wollte} other {wollten}} bis jetzt unten sein.',
  'calendar.downTry': 'Keine Nachricht? Versuchen Sie ihre Telefone: {phones}.',
  'calendar.callout': '{trip}: Alarmzeit',
  'calendar.calloutText':
    'Wenn Sie bis jetzt nichts gehört haben ({party}), rufen Sie {number} an.',
  'calendar.calloutTell':
    'Sagen Sie: {trip}, {count, plural, one {# Person} other {# Personen}}. Telefone: {phones}.',
  'calendar.note': 'tagline ist kein Rettungsdienst und ruft niemanden an.',
  'calendar.noPhones': 'keine bekannt',
  'calendar.checkin': '{trip}: Meldung fällig',
  'calendar.nightly': '{trip}: abendliche Meldung fällig',
  'calendar.checkinText':
    '{party} {count, plural, =0 {wollte} one {wollte} other {wollten}} sich bis jetzt melden.',
  'calendar.about': '„{about}“',
  'calendar.dropped': '{trip}: nicht mehr fällig',
} as const;
