/** Turning push messages on and off, and by which ways somebody is told. */
export const push = {
  'push.apple':
    'Auf einem iPhone oder iPad: Öffnen Sie das Teilen-Menü, wählen Sie „Zum Home-Bildschirm“, öffnen Sie die Seite von dort und drücken Sie dann den Knopf.',
  'push.cannot':
    'Dieser Browser nimmt keine Push-Nachrichten an. Versuchen Sie einen anderen, oder Ihr Telefon.',
  'push.denied':
    'Dieser Browser lässt uns keine Nachrichten zeigen. Erlauben Sie in seinen Einstellungen Mitteilungen für diese Seite, dann drücken Sie den Knopf noch einmal.',
  'push.wait': 'Einen Augenblick.',
  'push.failed':
    'Das ging nicht, und nichts hat sich geändert. Sehen Sie nach, ob das Gerät ein Netz hat, dann drücken Sie den Knopf noch einmal.',
  'push.about':
    'Push-Nachrichten kommen auf den Bildschirm dieses Geräts, auch wenn der Browser zu ist, und nur dieser Browser kann sie lesen.',
  'push.aboutNight':
    'Sie brauchen ein Netz, und das Gerät muss an sein. Lassen Sie sie nachts einen Ton machen: Dann kommen Alarme.',
  'push.noScript':
    'Um Push-Nachrichten einzuschalten, braucht ein Browser JavaScript, und hier ist es aus. Alles andere auf dieser Seite geht ohne.',
  'push.gone':
    'Nachrichten an dieses Gerät lassen sich hier nicht mehr einschalten. Geben Sie der Gruppe stattdessen Ihre E-Mail-Adresse.',
  'push.unusable':
    'Was dieser Browser geschickt hat, war nicht zu gebrauchen, und nichts hat sich geändert. Versuchen Sie einen anderen Browser.',
  'push.title': 'Nachrichten auf diesem Gerät',
  'push.on':
    'Push-Nachrichten sind in {n, plural, one {einem Browser} other {# Browsern}} von Ihnen an.',
  'push.try': 'Ausprobieren: eine Probe an mich',
  'push.turnOn': 'Push-Nachrichten einschalten',
  'push.inThis': 'In diesem Browser',
  'push.tell': 'Auf diesem Gerät Bescheid geben',
  'push.tellToo': 'Auch in diesem Browser Bescheid geben',
  'push.yes': 'Ja, auf diesem Gerät Bescheid geben',
  'push.turnOff': 'Push-Nachrichten ausschalten',
  'push.back': 'Zurück zu Ihrer Seite',
  'push.lost': 'Eine Nachricht zu einer Klettertour',
  'push.lostLook': 'Öffnen Sie Ihre Seite, dort steht, was es ist.',
  'push.app': 'Kontaktperson: {trip}',
  'push.isOn': 'Push-Nachrichten sind in diesem Browser an.',
  'push.tryNow': 'Probieren Sie es jetzt aus: Eine Probe zeigt, wie ein Alarm aussieht und klingt.',
  'push.isOff': 'Push-Nachrichten sind aus. Sie bekommen auf Ihren anderen Wegen Bescheid.',
  'page.howTold': 'Wie Sie Bescheid bekommen',
  'page.toPush': 'Nachrichten auf diesem Gerät',
  'page.toCalendar': 'Die Zeiten der Gruppe für Ihren Kalender',
  'page.calendarAlone':
    'Seine Erinnerungen brauchen weder uns noch ein Netz. Nehmen Sie ihn neu, wenn sich eine Zeit verschoben hat.',
  'told.none': 'Noch erreicht Sie keine Nachricht.',
  'told.by': 'Sie bekommen Bescheid per {ways}.',
  'told.alert': 'Wenn sie überfällig sind, auch per {ways}.',
  'told.distress': 'Wenn der Rettungsdienst zu rufen ist, auch per {ways}.',
  'told.all': 'Wenn der Rettungsdienst zu rufen ist, auf allen Wegen zugleich.',
  'told.then': '{first}, dann {next}',
} as const;
