const [MINUTE_MS, HOUR_MS, DAY_MS] = [60_000, 3_600_000, 86_400_000];

/** How often something may be done: `most` times in `inMs`, counted per person, server, trip, address or for the whole bot. */
export interface Rate {
  per: 'person' | 'server' | 'trip' | 'bot' | 'address';
  most: number;
  inMs: number;
  /** What is counted, as the refusal says it. */
  what: string;
}

/**
 * Rates of what people ask on a chat that strangers can reach. Signs of life, trouble, the way down and
 * what answers an alarm are counted by `vital` alone, each person's by themselves, so that nobody's flood is in
 * another's way.
 */
export const RATES = {
  /** Far more than anybody posts by hand; a loop is bounded, and only whoever runs it. */
  vital: { per: 'person', most: 60, inMs: MINUTE_MS, what: 'such posts of one person' },
  /** Nobody types or presses one a second for a minute; a loop does. */
  command: { per: 'person', most: 60, inMs: MINUTE_MS, what: 'commands' },
  /** Ten parties, each as busy as one can be. */
  server: { per: 'server', most: 600, inMs: MINUTE_MS, what: 'commands on this server' },
  /** What is answered leaves the watch more than half of one processor. */
  bot: { per: 'bot', most: 3000, inMs: MINUTE_MS, what: 'commands of everybody' },
  /** Tries count as well. Whoever gets it right at the tenth try has room; a squatter of channels hasn't. */
  opened: { per: 'person', most: 15, inMs: DAY_MS, what: 'trips opened' },
  openedHere: { per: 'server', most: 40, inMs: DAY_MS, what: 'trips opened on this server' },
  /** A file is mended a few times until it is right. Reading one takes up to seconds of the processor. */
  file: { per: 'person', most: 20, inMs: HOUR_MS, what: 'files read' },
  files: { per: 'bot', most: 300, inMs: HOUR_MS, what: 'files of everybody' },
  /** Each looks through up to twenty trips. */
  privacy: { per: 'person', most: 10, inMs: HOUR_MS, what: 'looks at what is kept' },
  /** A forecast that nobody has asked for in this minute takes a tenth of a second. */
  forecast: { per: 'person', most: 20, inMs: MINUTE_MS, what: 'forecasts' },
  /** Each goes to people at home, by mail as well. */
  rehearsal: { per: 'trip', most: 6, inMs: HOUR_MS, what: 'rehearsals' },
  /** Each goes to somebody who has agreed to nothing yet. A party has one to three contacts. */
  invited: { per: 'person', most: 10, inMs: DAY_MS, what: 'people asked to be contact' },
  invitedHere: {
    per: 'server',
    most: 30,
    inMs: DAY_MS,
    what: 'people asked to be contact from this server',
  },
  invitedAll: { per: 'bot', most: 500, inMs: DAY_MS, what: 'people asked to be contact' },
  /** Text messages and calls cost the operator money, and some numbers cost a lot: strangers get few of them. */
  invitedPhone: {
    per: 'server',
    most: 10,
    inMs: DAY_MS,
    what: 'people asked by phone from this server',
  },
  invitedPhoneAll: { per: 'bot', most: 100, inMs: DAY_MS, what: 'people asked by phone' },
  /** By the address or account that is asked, whoever asks; kept through a restart. */
  invitedAddress: { per: 'address', most: 3, inMs: DAY_MS, what: 'messages to that address' },
  /** A quick typist's keystrokes; beyond that nothing is suggested for a while. */
  completion: { per: 'person', most: 300, inMs: MINUTE_MS, what: 'suggestions' },
  completions: { per: 'bot', most: 6000, inMs: MINUTE_MS, what: 'suggestions to everybody' },
  /** By address; what comes more often waits in the mailbox, and the others' mails go first. */
  mailIn: { per: 'person', most: 20, inMs: MINUTE_MS, what: 'mails to one address' },
  /** Answers to mails of one person, and their mails that are shown to the channel; what they post is never counted. */
  mailAnswers: { per: 'person', most: 40, inMs: HOUR_MS, what: 'answers by mail' },
  mailUnread: { per: 'person', most: 6, inMs: HOUR_MS, what: 'mails that can’t be read' },
  /** Each time that is moved is told to everybody at home. */
  times: { per: 'trip', most: 30, inMs: HOUR_MS, what: 'changes of times' },
} as const satisfies Record<string, Rate>;

/** The name of a rate. */
export type RateName = keyof typeof RATES;

/** A record erases itself this long after its last word, unless whoever runs the bot says otherwise: time for a debrief and for whoever asks about a rescue. Engineering choice. */
export const KEEP_DAYS = 90;

/** Bounds of our own, in one place, so that nothing grows without end. Discord's own stand in src/chat/discord. */
export const LIMITS = {
  /** Longest routes climbed in our three days have fewer; a forecast stays quick. */
  pitches: 80,
  /** A pitch longer than any lead line sold is a slip of the pen. */
  pitchLengthM: 150,
  climbers: 8,
  /** All people of one trip together, those who left included. */
  people: 40,
  nameLength: 60,
  noteLength: 300,
  /** Events of one trip; a busy three-day trip writes a few hundred. */
  events: 5_000,
  /**
   * Signs of life and other vital entries of one person in a record that is full: as many people as a trip may have
   * leave room for the watch's own entries below `entry`.
   */
  vitalEach: 100,
  /** Highest number of an entry that is read: signs of life and alarms go in beyond `events`. */
  entry: 10_000,
  /** Times that bind a trip; a party names a handful, and latest times are worked out for each of them. */
  cutoffs: 20,
  /** Things of a kit, ours and their own. */
  kit: 120,
  /** Bytes of an attached topo or record. */
  topoBytes: 256 * 1024,
  recordBytes: 4 * 1024 * 1024,
  /** Entries of one kind in a record that is read; no trip comes near, and the watch looks at each with each. */
  readOfKind: {
    'watch.raised': 300,
    'trouble.reported': 200,
    'watch.promised': 500,
    'party.split': 100,
    'party.joined': 100,
  } as Readonly<Record<string, number>>,
  /** The same of what is said to being contact: forty people by five ways. Told by hand it is bounded by who may be asked. */
  readOfAsking: { 'contact.asked': 200, 'contact.answered': 200 } as Readonly<
    Record<string, number>
  >,
  /** Length of one line of a record; its widest entry, a timetable, takes less. */
  lineChars: 256 * 1024,
  /** Rows of a topo file that are read, so that its mistakes can be listed; more is no topo. */
  topoRows: 400,
  /** Columns of any table; those we know are far fewer. */
  columns: 40,
  /** Mistakes listed in one answer. */
  mistakes: 20,
  /** A told time may be this far ahead of our clock: watches differ. */
  clockSlackMs: 60_000,
} as const;
