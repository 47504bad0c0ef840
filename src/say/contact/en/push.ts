/** Turning push messages on and off, and by which ways somebody is told. */
export const push = {
  'push.apple':
    'On an iPhone or iPad: open the share menu, choose “Add to Home Screen”, open this page from there, and press the button then.',
  'push.cannot': 'This browser takes no push messages. Try another one, or your phone.',
  'push.denied':
    'This browser does not let us show messages. Allow notifications for this page in its settings, then press the button again.',
  'push.wait': 'One moment.',
  'push.failed':
    'That did not work, and nothing has changed. Look whether this device is online, then press the button again.',
  'push.about':
    'Push messages come to the screen of this device, even while the browser is closed, and only this browser can read them.',
  'push.aboutNight':
    'They need a network, and the device must be on. Let them make a sound at night: alarms come then.',
  'push.noScript':
    'To turn on push messages a browser needs JavaScript, and here it is off. All else on this page works without.',
  'push.gone':
    'Messages to this device cannot be turned on here any more. Give the party your e-mail address instead.',
  'push.unusable':
    'What this browser sent could not be used, and nothing has changed. Try another browser.',
  'push.title': 'Messages on this device',
  'push.on': 'Push messages are on in {n, plural, one {one browser} other {# browsers}} of yours.',
  'push.try': 'Try it: send me a rehearsal',
  'push.turnOn': 'Turn push messages on',
  'push.inThis': 'In this browser',
  'push.tell': 'Tell me on this device',
  'push.tellToo': 'Tell me in this browser too',
  'push.yes': 'Yes, tell me on this device',
  'push.turnOff': 'Turn push messages off',
  'push.back': 'Back to your page',
  'push.lost': 'A message about a climb',
  'push.lostLook': 'Open your page to see what it is.',
  'push.app': 'Contact: {trip}',
  'push.isOn': 'Push messages are on in this browser.',
  'push.tryNow': 'Try it now: a rehearsal shows you how an alarm looks and sounds.',
  'push.isOff': 'Push messages are off. You are told by your other ways.',
  'page.howTold': 'How you are told',
  'page.toPush': 'Messages on this device',
  'page.toCalendar': 'Their times for your calendar',
  'page.calendarAlone':
    'Its alarms need neither us nor a network. Take it anew when a time has moved.',
  'told.none': 'No message reaches you yet.',
  'told.by': 'You are told by {ways}.',
  'told.alert': 'Once they are overdue, by {ways} as well.',
  'told.distress': 'When it is time to call the rescue service, by {ways} as well.',
  'told.all': 'When it is time to call the rescue service, all of them are used at once.',
  'told.then': '{first}, then {next}',
} as const;
