/** Messages to a topic of an ntfy server: naming it, saying yes there, turning it off; and the order of all ways. */
export const ntfy = {
  'ntfy.title': 'Messages by ntfy',
  'ntfy.about':
    'ntfy is an app that shows messages on a phone. Have it make a sound at night: alarms come then, with its highest priority.',
  'ntfy.open':
    'Its server can read these messages, and so can whoever knows your topic. They say who is late and what to do. All that people typed stands on your page only.',
  'ntfy.how':
    'In the app, subscribe to the topic below, on the server {server}. Or take one of your own.',
  'ntfy.byLink':
    'To say yes: name a topic below. A message comes to your phone, and in it you say yes.',
  'ntfy.field': 'Your topic, or its whole address',
  'ntfy.turnOn': 'Send a message there',
  'ntfy.sent': 'A message is on its way to your topic.',
  'ntfy.sentThen': 'Open it in the app and say yes there. Only then are you told that way.',
  'ntfy.waits':
    'Your yes is still awaited, in the message to {topic}. If none came, see that the app has the same topic and server, then have it sent once more.',
  'ntfy.on': 'Messages by ntfy are on, to {topic}.',
  'ntfy.another': 'Another topic',
  'ntfy.isOn': 'Messages by ntfy are on.',
  'ntfy.isOff': 'Messages by ntfy are off. You are told by your other ways.',
  'ntfy.saidNo':
    'Somebody said no in the message to that topic. Say yes there, or name another topic.',
  'ntfy.turnOff': 'Turn messages by ntfy off',
  'ntfy.gone':
    'Messages by ntfy cannot be turned on here any more. Give the party your e-mail address instead.',
  'ntfy.subject': 'Is this your topic?',
  'ntfy.ask':
    'Somebody named this topic as their own, for alarms about a climb that they are contact for. If it was you, say yes.',
  'ntfy.askElse': 'If it was not, say no, and nothing more comes.',
  'asked.refusedHere': 'Nothing is sent here. By your other ways you are told as before.',
  'done.leftHere': 'Nothing is sent there any more. By your other ways you are told as before.',
  'page.toNtfy': 'Messages by ntfy',
  'page.toWays': 'Order and hours',
  'ways.about':
    'By which way are you told first, and which one is kept for when it is grave? When it is time to call the rescue service, all of them are used at once.',
  'ways.place': '{way}: place',
  'ways.from': '{way}: when',
  'ways.always': 'From the first word',
  'ways.alert': 'Once they are overdue',
  'ways.distress': 'When it is time to call',
  'ways.save': 'Keep it so',
  'ways.kept': 'Kept.',
} as const;
