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
  /** Highest number of an entry that is read: signs of life and alarms go in beyond `events`. */
  entry: 10_000,
  /** Bytes of an attached topo or record. */
  topoBytes: 256 * 1024,
  recordBytes: 4 * 1024 * 1024,
  /** Entries of one kind in a record that is read; no trip comes near, and the watch looks at each with each. */
  readOfKind: { 'watch.raised': 300, 'trouble.reported': 200, 'watch.promised': 500 } as Readonly<
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
