/** Who asks, where and when. `atMs` is taken once, at the edge; everything below uses it. */
export interface Call {
  /** The interaction's own id: the key by which a repeated delivery changes nothing. */
  id: string;
  atMs: number;
  actor: { id: string; name: string };
  /** Manages the server it comes from, and asks for what managers may do. */
  manager?: boolean;
  /** May take others' messages out of this channel: somebody the server trusts. */
  moderator?: boolean;
  /** May read this channel and not write in it. */
  silent?: boolean;
  /** What the speaker's program says that they read: a BCP 47 tag; left out where it says nothing. */
  locale?: string;
  where: { channel: string; guild?: string; direct: boolean };
  /** Set by a button or a notice, which belong to one trip wherever they are pressed. */
  trip?: string;
}
