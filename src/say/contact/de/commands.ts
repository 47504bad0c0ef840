/** What the commands of contacts do, as a chat lists them: by their path. */
export const commands = {
  'command.checkin contact': 'Sagen, ob Sie zu Hause die Kontaktperson sein wollen',
  'command.checkin ok': 'Es geht ihnen gut: von der Gruppe selbst, oder wie über Funk gehört',
  'command.overdue ack': 'Sie kümmern sich um den Alarm: eine Zeit lang keine Erinnerungen an Sie',
  'command.overdue agree': 'Einer Änderung zustimmen, durch die weniger gewacht wird',
  'command.overdue resolve':
    'Es geht ihnen gut; der Rettungsdienst ist angerufen, oder er weiß, dass sie wohlauf sind',
  'command.overdue sheet': 'Was dem Rettungsdienst vorzulesen ist; jedes Öffnen steht im Protokoll',
  'command.overdue show': 'Was überfällig ist, wer Bescheid weiß, was als Nächstes kommt',
  'command.trouble over': 'Die Notlage ist vorbei: wer das sagt, und woher',
  'command.trouble report':
    'Jemand ist verletzt, vermisst oder kommt nicht weiter: Alle erfahren es sofort',
} as const;
