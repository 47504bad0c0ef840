/** How an alarm ends, what was agreed, and what the watch has to say of itself. */
export const news = {
  'ended.subject': '{trip}: Alarm vorbei',
  'ended.subjectChanged': '{trip}: die Wache wurde geändert',
  'ended.heard': '{party} {count, plural, =0 {hat} one {hat} other {haben}} sich gemeldet.',
  'ended.heardAs':
    '{party} {count, plural, =0 {hat} one {hat} other {haben}} sich gemeldet, {when}: {what} (von {by}).',
  'ended.down': 'Alle sind unten. Gemeldet von {by}.',
  'ended.downAt': 'Alle sind unten, {when}. Gemeldet von {by}.',
  'ended.trouble': 'Die Notlage ist vorbei, sagt {by}.',
  'ended.troubleOf':
    '{who}: {left, select, out {aus der Wand} other {wohlauf}}. „{said}“ (gemeldet von {by}).',
  'ended.moved':
    'Die Zeit, zu der {party} überfällig {count, plural, =0 {war} one {war} other {waren}}, wurde verschoben, von {by}.',
  'ended.closed': '{by} hat die Tour geschlossen. Niemand wacht mehr über die Zeiten.',
  'ended.struck':
    'Worauf {party} warten {count, plural, =0 {ließ} one {ließ} other {ließen}}, wurde zurückgenommen, von {by}.',
  'ended.over': 'Der Alarm ist vorbei.',
  'ended.still': 'Ein Alarm besteht trotzdem. Wer zu Hilfe gerufen wurde, bleibt gerufen.',
  'ended.nobody': 'Es gibt keine Nachricht von ihnen. Wer zu Hilfe gerufen wurde, bleibt gerufen.',

  'called.subject': '{trip}: der Rettungsdienst wurde angerufen',
  'called.first': '{by} hat den Rettungsdienst angerufen, {when}.',
  'called.words': '{by} hat den Rettungsdienst angerufen, {when}: „{words}“',
  'called.then':
    'Sonst muss niemand mehr anrufen. Es gibt keine Erinnerungen mehr; jede Nachricht von der Gruppe geht weiter an alle.',

  'standdown.subject': '{trip}: Weiß es der Rettungsdienst?',
  'standdown.first': 'Noch hat niemand gesagt, dass der Rettungsdienst es weiß.',
  'standdown.down': 'Alle sind unten, {when}.',
  'standdown.tell':
    '{by}: Sagen Sie dem Rettungsdienst bis {until}, was gehört wurde, und danach hier Bescheid; Sie haben ihn angerufen, {called}. Ob noch Hilfe nötig ist, entscheidet der Rettungsdienst.',
  'standdown.tellNow':
    '{by}: Sagen Sie dem Rettungsdienst jetzt, was gehört wurde, und danach hier Bescheid; Sie haben ihn angerufen, {called}. Ob noch Hilfe nötig ist, entscheidet der Rettungsdienst.',
  'standdown.anyone': 'Wenn Sie jemanden zu Hilfe gerufen haben, geben Sie jetzt Bescheid.',
  'standdown.other': 'Wenn {by} es nicht kann: Wer dies liest, ruft {number} an.',
  'stooddown.subject': '{trip}: der Rettungsdienst weiß es',
  'stooddown.first':
    '{by} hat dem Rettungsdienst Bescheid gegeben, {when}. Es ist nichts mehr zu tun.',

  'plan.subject': '{trip}: Zeiten',
  'plan.left':
    '{party} {count, plural, =0 {ist} one {ist} other {sind}} aufgebrochen ({trip}), {when}.',
  'plan.leftUntimed':
    '{party} {count, plural, =0 {ist} one {ist} other {sind}} aufgebrochen ({trip}).',
  'plan.upAgain':
    'Dass alle unten sind, wurde zurückgenommen: Sie sind noch oben, und wir wachen wieder.',
  'plan.changed': 'Die Zeiten haben sich geändert ({trip}).',
  'plan.number': 'Die Notrufnummer ist jetzt {number}, gesetzt von {by}.',
  'plan.moved':
    '{what, select, topoutMs {Die Zeit für den Gipfel} downMs {Die Zeit, zu der alle unten sind,} other {Die Alarmzeit}} wurde von {from} auf {to} verschoben, von {by}.',
  'plan.taken':
    '{what, select, topoutMs {Die Zeit für den Gipfel} downMs {Die Zeit, zu der alle unten sind,} other {Die Alarmzeit}} wurde gestrichen, von {by}.',
  'plan.comingDown':
    '{party} {count, plural, =0 {ist} one {ist} other {sind}} seit {when} auf dem Rückweg nach unten, alle wohlauf.',
  'plan.parts': 'Sie gehen getrennt: {parts}.',
  'plan.promise': 'Meldung {when}.',
  'plan.promiseOf': 'Meldung von {who} {when}.',
  'plan.promiseAbout': '{promise} „{about}“',
  'plan.down': 'Alle unten bis {when}.',
  'plan.noDown': 'Es ist keine Zeit vereinbart, zu der alle unten sind.',
  'plan.nightly': 'Jeden Abend eine Meldung um {clock}, nach der Uhr an der Wand.',
  'plan.callout':
    'Alarmzeit {when}: Wenn es bis dahin keine Nachricht gibt, rufen Sie {number} an.',
  'plan.noCallout':
    'Es ist keine Alarmzeit vereinbart, zu der Sie den Rettungsdienst anrufen würden: Vereinbaren Sie eine mit ihnen.',
  'plan.file':
    'Die Datei trägt diese Zeiten in Ihren Kalender ein, mit Erinnerungen, die weder uns noch ein Netz brauchen.',

  'over.subject': '{trip}: alle sind unten',
  'over.downCalled': '{party} {count, plural, =0 {ist} one {ist} other {sind}} unten, {when}.',
  'over.down':
    '{party} {count, plural, =0 {ist} one {ist} other {sind}} unten, {when}. Es ist nichts mehr zu tun.',
  'over.stopped': '{trip}: die Wache ist zu Ende',
  'over.notLeft': 'Der Aufbruch wurde zurückgenommen: Die Gruppe ist nicht losgegangen.',
  'over.closed':
    'Die Tour wurde geschlossen, und niemand hat gesagt, dass alle unten sind. Fragen Sie die Gruppe.',
  'over.unwatched':
    'Die Wache ist zu Ende: Niemand bekommt Bescheid, wenn sie überfällig sind. Die Datei nimmt die Zeiten aus Ihrem Kalender.',

  'drill.subject': '{trip}: Probe, niemand ist überfällig',
  'drill.first': 'PROBE. Niemand ist überfällig. {name}, so erreicht Sie ein Alarm ({trip}).',
  'drill.earnest':
    'Im Ernstfall stünde hier, was erwartet wurde, was zuletzt gehört wurde und was zu tun ist; ab der zweiten Stufe mit dem Blatt für den Rettungsdienst.',
  'drill.press':
    'Antworten Sie mit „{button}“, damit die Gruppe weiß, dass es angekommen ist. Wenn das hier nicht geht, sagen Sie es ihr.',

  'unreached.subject': '{trip}: {who} ist nicht zu erreichen',
  'unreached.first': '{who} war nicht zu erreichen.',
  'unreached.nobody':
    'Sonst ist niemand da, der Bescheid bekommen kann. Erreichen Sie sie anders: per Telefon oder über die Nachbarn.',
  'unreached.instead': '{name} bekommt stattdessen Bescheid.',

  'deaf.subject': '{trip}: unser Chat ist unterbrochen',
  'deaf.first':
    'Seit {since} erreichen uns keine Meldungen. Das liegt an uns: Es sagt nichts über die Gruppe.',
  'deaf.watch':
    'Die Wache geht weiter, und Nachrichten gehen weiter hinaus. Vielleicht heißt es darin, sie seien überfällig, obwohl sie sich rechtzeitig gemeldet haben.',
  'deaf.ring':
    'Rufen Sie deshalb sie an, oder jemanden, der dort ist, bevor Sie sich Sorgen machen.',
  'deaf.ringPhones': 'Rufen Sie deshalb an, bevor Sie sich Sorgen machen: {phones}.',
  'deaf.nothing':
    'Sie müssen jetzt nichts tun. Wir sagen Bescheid, wenn uns Meldungen wieder erreichen.',
  'hearing.subject': '{trip}: Meldungen erreichen tagline wieder',
  'hearing.first':
    'Seit {back} erreichen Meldungen tagline wieder. Die seit {since} fehlen vielleicht.',
  'hearing.then':
    'Sie müssen nichts tun: Die Gruppe und die Helfer am Boden wurden gebeten, noch einmal zu schicken, was vielleicht fehlt.',

  'early.subject': '{trip}: zu früh gemeldet, die Zeit ist noch nicht da',
  'early.first':
    'Der letzte Alarm von hier kam zu früh: Die Uhr des Rechners, der Ihnen schreibt, ging falsch.',
  'early.still': 'Die Zeit kommt erst noch: {what}.',
  'early.fine': 'Bisher ist nichts überfällig.',
  'early.before': 'Was Sie davor erfahren haben, gilt.',
  'early.called': 'Wenn Sie deswegen jemanden angerufen haben, geben Sie jetzt Bescheid.',
  'early.then': 'Wenn es bis dahin keine Nachricht gibt, erfahren Sie es wieder.',
} as const;
