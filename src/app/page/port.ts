/** Whose page a link opens: the one for whoever helps, with the sheet; or the family's, without what is private. */
export type Whose = 'helpers' | 'family';

/** Links to the read-only status page of a trip. */
export interface Pages {
  /** A new link; the one before stops working. */
  make(trip: string, nowMs: number, whose?: Whose): Promise<string>;
  /** False when there was none. */
  revoke(trip: string, whose?: Whose): Promise<boolean>;
  /** When the link in force was made; the link itself isn't kept. */
  madeAt(trip: string, whose?: Whose): Promise<number | undefined>;
  /** A contact's own page: the same address until it is renewed, so that it can stand in every message. */
  own(trip: string, person: string): Promise<string>;
  /** Where somebody says whether they want to be contact; `token` is of one address of one person. */
  asked(trip: string, token: string): string;
  /** The contact's own link stops working; the next message to them brings another. */
  renew(trip: string, person: string): Promise<void>;
}

/** Which ntfy servers contacts may name a topic of. */
export interface NtfyDoor {
  /** Their origins, the one that is offered first: `https://ntfy.example.org`. */
  servers: readonly [string, ...string[]];
}

/** How a browser subscribes to push messages (RFC 8292). */
export interface PushDoor {
  /** Our public key, base64url: browsers take messages from its owner only. */
  publicKey: string;
  /** Whether we would send to an address that a browser, or whoever says to be one, names. */
  takes(endpoint: string): boolean;
}
