/** What comes of a press or an answer. */
export const answers = {
  'done.contact': '{name} ist jetzt Kontaktperson.',
  'done.contactAlready': '{name} ist schon Kontaktperson.',
  'done.contactOut':
    'Die Gruppe ist unterwegs: Die Zeiten kommen jetzt als Nachricht, und was es von ihnen gibt.',
  'done.contactBefore':
    'Wenn die Gruppe aufbricht, kommen die Zeiten als Nachricht, mit einer Kalenderdatei. Davor kommt vielleicht eine Probe.',
  'done.leaving':
    'Die Gruppe ist gerade unterwegs und zählt auf Sie, deshalb fragt eine Nachricht noch einmal nach.',
  'done.leavingThen':
    'Bis Sie es dort bestätigen, erfahren Sie wie bisher von Alarmen. Die Gruppe weiß, dass Sie gefragt haben.',
  'done.left': '{name} erfährt hier nichts mehr von Alarmen, und niemand kann dort wieder fragen.',
  'done.leftBack': 'Wenn sich das ändert: Sagen Sie Ja, wo Sie Nein gesagt haben.',
  'done.leaveHow': 'Aufhören können Sie jederzeit: {command}',
  'done.language': 'Ab jetzt lesen Sie hier Deutsch.',
  'done.ack':
    'Notiert. {min} Minuten lang keine Erinnerungen an diese Stufe; dann fragen wir wieder.',
  'done.ackOnce': 'Notiert. An diese Stufe erinnern wir nicht.',
  'done.ackStands': 'Der Alarm besteht, bis es eine Nachricht von ihnen gibt.',
  'done.ackNext': 'Die nächste Stufe kommt {when}.',
  'done.drill': 'Notiert: Die Probe ist angekommen. Im Ernstfall kommt es genauso.',
  'done.noAlarm': 'Es besteht kein Alarm, deshalb ist nichts zu tun.',
  'done.fine': 'Notiert: Es geht ihnen gut.',
  'done.fineTo': 'Notiert: Es geht ihnen gut. Das erfahren {names}.',
  'done.called':
    'Notiert: Der Rettungsdienst ist angerufen. Alle, die vom Alarm wissen, erfahren es; es gibt keine Erinnerungen mehr.',
  'done.calledPhone':
    'Halten Sie Ihr Telefon frei, der Rettungsdienst ruft vielleicht zurück, und das Blatt bereit.',
  'done.calledTell':
    'Wenn Sie von der Gruppe hören, sagen Sie es zuerst dem Rettungsdienst, dann hier.',
  'done.stoodDown': 'Notiert: Der Rettungsdienst weiß es. Alle, die vom Alarm wissen, erfahren es.',
  'done.heard': 'Notiert: Es geht ihnen gut, {when}.',
  'done.heardAlready': 'Das steht schon im Protokoll, aus den letzten zehn Minuten.',
  'done.over': 'Vorbei: {who}, {left, select, out {aus der Wand} other {wohlauf}}. „{said}“',
  'done.overTold': 'Alle, die davon wissen, erfahren es.',
  'done.overCall': 'Der Rettungsdienst wurde angerufen: Sagen Sie es jetzt auch ihm.',
  'done.overMore': 'Weitere Notlagen bestehen: {n}.',
  'done.troubleStands':
    'Die Notlage besteht trotzdem; nur wer weiß, dass sie vorbei ist, beendet sie:',
  'done.agreed': 'Geändert, wie es erbeten war (auf Englisch):',

  'refused.button-over':
    'Der Knopf gehört zu etwas, das vorbei ist oder sich geändert hat; nichts ist geändert. Was jetzt gilt, steht in der neuesten Nachricht und auf Ihrer Seite.',
  'refused.old-button':
    'Dieser Knopf ist aus einer anderen Fassung des Bots und tut nichts mehr. Nehmen Sie die der neuesten Nachricht oder Ihrer eigenen Seite, oder schreiben Sie /overdue show.',
  'refused.restarting':
    'Der Bot wird gerade neu gestartet; nichts ist geändert. Versuchen Sie es in einer Minute noch einmal. Warten Sie nicht darauf, wenn der Rettungsdienst anzurufen ist.',
  'refused.no-alarm': 'Hier besteht kein Alarm, deshalb ist nichts geändert.',
  'refused.already-so': 'Das ist schon so; nichts ist geändert.',
  'refused.unreadable-time':
    'Die Zeit war nicht zu lesen. Schreiben Sie sie nach der Uhr an der Wand, etwa 14:20.',
  'refused.time-ahead':
    'Diese Zeit kommt erst noch. Schreiben Sie, wann es war, nach der Uhr an der Wand.',
  'refused.out-of-range':
    'Das ist zu lange her oder zu viel, um richtig zu sein. Nichts ist geändert.',
  'refused.sounds-like-trouble':
    'Ihre Worte könnten heißen, dass jemand verletzt ist oder Hilfe braucht. Noch ist nichts notiert. Wenn es so ist, melden Sie es, dann erfahren es alle sofort. Wenn alle wohlauf sind, sagen Sie es noch einmal.',
  'refused.which-part': 'Die Gruppe ist getrennt. Von wem sprechen Sie? Noch ist nichts notiert.',
  'refused.watch-weaker':
    'Die Gruppe ist gerade unterwegs und zählt auf Sie. Noch ist nichts geändert. Wenn Sie aufhören, erfahren es die anderen Kontaktpersonen an Ihrer Stelle, oder zu Hause niemand, wenn es keine anderen gibt. Die Gruppe hört, dass Sie aufgehört haben.',
  'refused.last-way':
    'Dies ist der einzige Weg, auf dem Sie Bescheid bekommen, deshalb bleibt er. Bitten Sie die Gruppe zuerst, Ihre E-Mail-Adresse einzutragen. Oder hören Sie auf: mit dem Link, durch den Sie Kontaktperson wurden.',
  'refused.second-person':
    'Es besteht ein Alarm, deshalb muss noch jemand zustimmen. Noch ist nichts geändert.',
  'refused.no-such-choice': 'Das ist nicht der Code einer Einladung zu dieser Tour.',
  'refused.not-yours': 'Das muss jemand anderes sagen; nichts ist geändert.',
  'refused.not-a-contact': 'Sie wurden hier nicht gefragt, ob Sie Kontaktperson sein wollen.',
  'refused.no-such-trouble': 'Eine solche Notlage besteht nicht; nichts ist geändert.',
  'refused.no-trouble': 'Es besteht keine Notlage; nichts ist geändert.',
  'refused.closed': 'Die Tour ist geschlossen, deshalb bleibt ihr Protokoll, wie es ist.',
  'refused.too-often':
    'Das kam sehr oft. Warten Sie einige Minuten, dann versuchen Sie es noch einmal.',
  'refused.fault':
    'Bei uns ging etwas schief. Vielleicht ist es notiert, vielleicht nicht: Sehen Sie auf Ihrer Seite nach, was gilt, bevor Sie es noch einmal versuchen.',
  'refused.topic-unreadable':
    'Das ist kein Thema. Es hat nur Buchstaben, Ziffern, Binde- und Unterstriche, oder es ist eine Adresse wie https://ntfy.example.org/ihr-thema.',
  'refused.topic-server':
    'An diesen Server gehen von hier keine Nachrichten. Nehmen Sie ein Thema auf dem, der genannt ist.',
  'refused.topic-short':
    'Dieses Thema ist zu kurz: Andere könnten es erraten und mitlesen. Nehmen Sie eines mit mindestens 12 Zeichen.',
  'refused.unreadable-options':
    'Etwas fehlt oder war nicht zu lesen. Nichts ist geändert: Füllen Sie jede Zeile aus und schicken Sie es noch einmal.',
  'refused.unreachable-contact':
    'Es gibt keinen Weg zu Ihnen, der sich proben ließe. Schalten Sie einen ein, oder bitten Sie die Gruppe, Ihre E-Mail-Adresse einzutragen.',
  'refused.needs-value':
    'Etwas fehlt. Nichts ist geändert: Füllen Sie jede Zeile aus und schicken Sie es noch einmal.',
  'refused.no-such-person': 'Auf dieser Tour heißt niemand so; nichts ist geändert.',
  'refused.hardly-true': 'Das kann kaum stimmen. Sehen Sie noch einmal nach; nichts ist geändert.',
  'refused.all-later':
    'Ein Weg muss vom ersten Wort an gelten, sonst erreicht das erste Sie nie. Nichts ist geändert.',
  'refused.not-the-wall':
    'Eine Kontaktperson antwortet auf Alarme; was geklettert ist, melden die Gruppe und die Helfer am Boden. Was Sie gehört haben, können Sie sagen: dass es ihnen gut geht, oder dass es eine Notlage gibt.',
  'refused.not-on-roster': 'Sie gehören hier nicht zu dieser Tour; nichts ist geändert.',
  'refused.no-trip': 'Hier gibt es keine solche Tour, oder sie ist vorbei; nichts ist geändert.',
  'refused.ambiguous-name':
    'Es kann mehr als einer gemeint sein. Schreiben Sie den ganzen Namen; nichts ist geändert.',
  'refused.no-such-entry': 'Einen solchen Eintrag gibt es im Protokoll nicht; nichts ist geändert.',
  'refused.already-struck': 'Das wurde schon zurückgenommen.',
  'refused.cannot-strike':
    'Andere haben davon erfahren, deshalb wird es nicht zurückgenommen. Sagen Sie stattdessen, wie es jetzt ist.',
  'refused.nobody-there': 'Es ist niemand da, für den es sein könnte; nichts ist geändert.',
  'refused.no-page':
    'Hier gibt es keine Seite. Antworten Sie mit einer Nachricht, oder fragen Sie die Gruppe.',
  'refused.other': 'Das ging nicht. Der Grund auf Englisch:',
  'button.allWell': 'Alle sind wohlauf',
  'button.report': 'Notlage melden',
  'button.reportWhat': 'Was ist passiert?',
  'button.reportWhere': 'Wo sind sie?',
  'button.undo': 'Zurücknehmen',
} as const;
