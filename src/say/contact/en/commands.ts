/** What the commands of contacts do, as a chat lists them: by their path. */
export const commands = {
  'command.checkin contact': 'Say yes or no to being the contact at home',
  'command.checkin ok': 'They are well: said by the party, or as it was heard by radio',
  'command.overdue ack': 'You have the alarm in hand: no reminders to you for a while',
  'command.overdue agree': 'Agree to a change that takes something from the watch',
  'command.overdue resolve': 'They are fine; the rescue service was called, or knows they are',
  'command.overdue sheet': 'What to read to the rescue service; every opening is recorded',
  'command.overdue show': 'What is overdue, who was told, what comes next',
  'command.trouble over': 'The trouble is over: who says so, and how they know',
  'command.trouble report': 'Somebody is hurt, missing or stuck: everybody is told at once',
} as const;
