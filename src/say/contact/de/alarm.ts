/** What is said while an alarm stands. */
export const alarm = {
  'expected.checkin': 'eine Meldung, {when}',
  'expected.checkinOf': 'eine Meldung von {who}, {when}',
  'expected.nightly': 'die abendliche Meldung, {when}',
  'expected.nightlyOf': 'die abendliche Meldung von {who}, {when}',
  'expected.topout': 'am Gipfel bis {when}',
  'expected.down': 'alle unten bis {when}',
  'expected.callout': 'alle unten bis zur Alarmzeit {when}',
  'expected.again': 'eine Nachricht oder neue Zeiten bis {when}',
  'expected.silence': 'irgendeine Nachricht bis {when}',
  'expected.trouble': 'das Ende der Notlage, gemeldet {when}',
  'expected.about': '{what} („{about}“)',
  'next.open': 'Noch offen: {what}.',
  'next.next': 'Als Nächstes: {what}.',

  'phase.reopened': 'Was den Alarm beendet hatte, wurde zurückgenommen: Er besteht wieder.',
  'phase.instead': '{who} war nicht zu erreichen, deshalb erfahren Sie es.',
  'phase.insteadChannel': 'Der Kanal der Gruppe war nicht zu erreichen, deshalb erfahren Sie es.',
  'phase.again':
    'Noch einmal: {why, select, trouble {Niemand hat gesagt, dass es vorbei ist} other {Es gibt keine Nachricht}}.',
  'phase.inHand':
    '{lapsed, select, yes {{who} wollte sich um {when} kümmern und hat es seither nicht bestätigt} other {{who} kümmert sich seit {when}}}.',
  'phase.inHandChannel':
    '{lapsed, select, yes {Jemand im Kanal wollte sich um {when} kümmern, und niemand hat es seither bestätigt} other {Jemand im Kanal kümmert sich seit {when}}}.',
  'phase.lapsed':
    'Sie kümmern sich seit {when}; {why, select, trouble {niemand hat gesagt, dass es vorbei ist} other {seither gibt es keine Nachricht}}.',
  'phase.lapsedCall':
    'Wurde der Rettungsdienst angerufen? Wenn nicht, rufen Sie jetzt {number} an. Sagen Sie in jedem Fall Bescheid.',
  'phase.lapsedAsk':
    'Kümmern Sie sich noch? Sagen Sie es noch einmal, oder sagen Sie, was Sie gehört haben.',
  'phase.outage': 'Dies kommt spät: tagline hat von {from} bis {to} nicht gewacht.',
  'phase.deaf':
    'Seit {since} erreichen uns keine Meldungen: Der Chat ist unterbrochen. Vielleicht haben sie sich trotzdem gemeldet. Rufen Sie sie zuerst an.',
  'phase.early':
    'Eine frühere Nachricht dazu kam zu früh: Eine Uhr ging falsch. Jetzt ist die richtige Zeit.',
  'phase.overtaken': 'Eine ältere Nachricht dazu war lange unterwegs. So steht es jetzt:',
  'phase.unwritten':
    'tagline kann gerade nichts aufschreiben (der Speicher ist voll, defekt oder gerade belegt): Neue Meldungen werden abgewiesen, und dies kommt vielleicht zweimal.',

  'uncertainty.subject': '{trip}: noch keine Nachricht',
  'uncertainty.first':
    'Noch keine Nachricht von {party} ({trip}). Erwartet: {what}. Meistens sind sie nur langsam, oder ein Akku ist leer.',
  'uncertainty.try': 'Bitte versuchen Sie, sie zu erreichen.',
  'uncertainty.tryPhones': 'Bitte versuchen Sie, sie zu erreichen: {phones}.',
  'uncertainty.ground': 'Fragen Sie die Helfer am Boden und andere Kletterer dort.',
  'uncertainty.groundPhones':
    'Fragen Sie die Helfer am Boden: {phones}, und andere Kletterer dort.',
  'uncertainty.next': 'Wenn keine Nachricht kommt, erfahren Sie ab {when} mehr.',
  'vehicle.unknown': 'Falls jemand in der Nähe ist: Steht ihr Auto noch dort?',
  'vehicle.known': 'Falls jemand in der Nähe ist: Steht das Auto noch dort? „{vehicle}“.',

  'alert.subject': '{trip}: überfällig, bitte handeln',
  'alert.first':
    '{party} {count, plural, =0 {ist} one {ist} other {sind}} überfällig ({trip}). Erwartet: {what}.',
  'alert.others': 'Auch benachrichtigt: {names}. Sprechen Sie sich ab, wer was tut.',
  'alert.try': 'Versuchen Sie noch einmal, jemanden zu erreichen.',
  'alert.tryPhones': 'Versuchen Sie noch einmal alle: {phones}.',
  'alert.sheet': 'Halten Sie das Blatt bereit: Darauf steht, was ein Rettungsdienst fragt.',
  'alert.noCallout':
    'Es ist keine Zeit vereinbart, zu der der Rettungsdienst gerufen wird. Wenn Sie niemanden erreichen, rufen Sie {number} an und lesen Sie das Blatt vor.',
  'alert.latest': 'Rufen Sie spätestens {when} an.',
  'alert.callout':
    'Wenn Sie bis zur Alarmzeit {when} nichts hören, rufen Sie {number} an. Rufen Sie früher an, wenn Sie Grund zur Sorge haben.',

  'distress.subject': '{trip}: jetzt {number} anrufen',
  'distress.subjectNone': '{trip}: jetzt den Notruf wählen',
  'distress.first': 'Rufen Sie jetzt {number} an.',
  'distress.firstRecent':
    'Die Alarmzeit ist da. Versuchen Sie es noch einmal bei ihnen; ohne Antwort rufen Sie jetzt {number} an.',
  'distress.callout':
    '{party} {count, plural, =0 {ist} one {ist} other {sind}} noch nicht unten ({trip}). Die Alarmzeit war {when}.',
  'distress.silent':
    '{party} {count, plural, =0 {ist} one {ist} other {sind}} noch nicht unten ({trip}). Keine Alarmzeit ist vereinbart, und bis {when} kam keine Nachricht.',
  'distress.others': 'Auch benachrichtigt: {names}. Sprechen Sie sich ab, wer anruft.',
  'distress.sheet':
    'Lesen Sie das Blatt vor. Sagen Sie danach hier, dass angerufen wurde, damit die anderen es wissen.',

  'trouble.subject': '{trip}: Notlage',
  'trouble.subjectCall': '{trip}: Notlage, Rettungsdienst anrufen',
  'trouble.copes':
    'Notlage: {trip}. Die Gruppe kommt zurecht: noch kein Anruf beim Rettungsdienst. Behalten Sie Ihr Telefon bei sich.',
  'trouble.call':
    'Rufen Sie jetzt {number} an ({trip}): {why, select, silent {Von der Notlage kam keine Nachricht mehr} other {Der Rettungsdienst wird gebraucht}}.',
  'trouble.hurt': 'verletzt',
  'trouble.unknown': 'Zustand nicht bekannt',
  'trouble.well': 'unverletzt',
  'trouble.told':
    '{who} ({condition}): „{what}“. Gemeldet {when} von {by}{how, select, radio {, über Funk} seen {, selbst gesehen} reached {, am Telefon} other {}}.',
  'trouble.where': 'Wo: „{where}“.',
  'trouble.needs': 'Gebraucht wird: „{needs}“.',
  'trouble.update': '„{words}“ ({when}, {by})',
  'trouble.reach': 'So erreichen Sie sie: {phones}.',
  'trouble.becomes':
    'Ohne eine weitere Nachricht bis {when} werden Sie gebeten, den Rettungsdienst anzurufen.',
  'trouble.sooner': 'Rufen Sie früher an, wenn Sie Grund dazu haben.',
  'trouble.ends':
    'Eine Nachricht oder ein Lebenszeichen beendet dies nicht. Nur wer weiß, dass es vorbei ist, beendet es.',
} as const;
