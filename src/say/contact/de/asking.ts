/** Asking somebody to be contact, and their leaving. */
export const asking = {
  'invite.subject': 'Sind Sie zu Hause die Kontaktperson für {opener}?',
  'invite.first': '{name}, Sie werden um etwas gebeten.',
  'invite.role':
    '{opener} bittet Sie, Kontaktperson für eine Klettertour zu sein, „{trip}“: der Mensch zu Hause, der Bescheid bekommt, wenn die Kletterer sich nicht rechtzeitig melden.',
  'invite.usual':
    'Meistens ist es ein langsamer Tag oder ein leerer Akku, und Sie versuchen, sie zu erreichen. Wenn bis zu einer vereinbarten Zeit niemand etwas hört, rufen Sie den Rettungsdienst an; die Nummer und was Sie sagen, bekommen Sie von uns.',
  'invite.answers':
    'Sie erfahren nur etwas, wenn Sie Ja sagen, und Sie können jederzeit aufhören. Nach einem Nein kann Sie hier niemand mehr fragen.',
  'invite.silence':
    'Wenn Sie nicht antworten, kommt nur dann noch eine Nachricht, wenn sie so spät sind, dass der Rettungsdienst gerufen werden sollte und sonst niemand zu Hause Ja gesagt hat.',
  'invite.byLink':
    'Sie erfahren nur etwas, wenn Sie Ja sagen, und Sie können auf dieser Seite jederzeit aufhören. Bewahren Sie ihren Link auf.',

  'last.subject':
    '{trip}: {party} {why, select, trouble {in Not} other {überfällig}}, können Sie helfen?',
  'last.first':
    '{name}, Sie wurden gebeten, Kontaktperson für {opener} zu sein, und haben nicht geantwortet. Sonst hat zu Hause niemand Ja gesagt, deshalb erfahren Sie dies ein einziges Mal.',
  'last.late':
    '{party} {count, plural, =0 {ist} one {ist} other {sind}} nicht zurück ({wall}). Bis {when} hätte jemand von ihnen hören sollen.',
  'last.trouble':
    'Die Gruppe ({wall}), {party}, braucht Hilfe. {who}: {condition}, gemeldet {when}.',
  'last.heard': 'Zuletzt von ihnen gehört: {when}.',
  'last.try':
    'Wenn Sie sie kennen: Versuchen Sie jetzt, sie zu erreichen. Wenn es nicht gelingt, rufen Sie {number} an und sagen Sie dies.',
  'last.tryTrouble':
    'Wenn Sie sie kennen: Versuchen Sie jetzt, sie zu erreichen. Rufen Sie {number} an und sagen Sie dies, außer Sie hören, dass jemand es schon getan hat.',
  'last.answer':
    'Sagen Sie Ja, dann sehen Sie alles, was bekannt ist. Wenn Sie diese Leute nicht kennen, sagen Sie Nein, dann kommt nichts mehr.',

  'leaving.subject': '{trip}: Wollen Sie wirklich aufhören?',
  'leaving.first':
    'Sie wollen diese Nachrichten nicht mehr. {party} {count, plural, =0 {ist gerade unterwegs und zählt} one {ist gerade unterwegs und zählt} other {sind gerade unterwegs und zählen}} auf Sie, deshalb ist noch nichts geändert.',
  'leaving.then':
    'Wenn Sie trotzdem aufhören wollen, sagen Sie es noch einmal. Wenn Sie bleiben, tun Sie nichts. Die Gruppe weiß, dass Sie gefragt haben.',

  'left.subject': '{trip}: {name} ist keine Kontaktperson mehr',
  'left.first':
    '{name} ist bei {trip} keine Kontaktperson mehr. Rechnen Sie bei diesem Alarm nicht mit {name}.',
  'left.hand': '{name} wollte sich kümmern, seit {when}.',
  'left.others': 'Auch benachrichtigt: {names}. Sprechen Sie sich ab, wer was tut.',
  'left.alone': 'Zu Hause erfährt sonst niemand davon.',

  'removed.subject': '{trip}: Sie sind keine Kontaktperson mehr',
  'removed.first':
    '{by} hat Sie von der Liste der Kontaktpersonen genommen ({trip}). Sie erfahren nichts mehr von versäumten Zeiten.',
  'removed.alarm': 'Wenn ein Alarm besteht, von dem Sie wissen, erfahren Sie, wie er endet.',
  'removed.file': 'Die Datei nimmt die Zeiten aus Ihrem Kalender.',

  'agree.subject': '{trip}: Stimmen Sie einer Änderung zu?',
  'agree.first': '{asker} bittet um eine Änderung, während ein Alarm besteht (auf Englisch):',
  'agree.then':
    'Nichts wird geändert, wenn nicht noch jemand zustimmt. Stimmen Sie nur zu, wenn Sie wissen, warum; sonst tun Sie nichts.',
} as const;
