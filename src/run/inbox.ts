import type { App } from '../app/app.ts';
import type { Ways } from '../delivery/ports.ts';
import type { Settings } from '../settings.ts';

/** A mailbox that is being read. */
export interface RunningInbox {
  /** Why it can't be read, in a word. */
  trouble(): string | undefined;
  /** Reads until `signal` aborts. */
  run(signal: AbortSignal): Promise<void>;
}

/** The mailbox that the settings name, not read yet; undefined where none is set up. */
export async function inboxOf(
  app: App,
  settings: Settings,
  email: Ways['email'],
): Promise<RunningInbox | undefined> {
  const { IMAP_HOST: host, IMAP_USER: user, IMAP_PASSWORD: password } = settings;
  const { mailAddresses: addresses } = app;
  if (host === undefined || user === undefined || password === undefined) return undefined;
  if (addresses === undefined) return undefined;
  const [{ Inbox }, { Desk }] = await Promise.all([
    import('../inbox/imap.ts'),
    import('../inbox/desk.ts'),
  ]);
  const inbox = new Inbox(
    {
      host,
      port: settings.IMAP_PORT,
      implicitTls: settings.IMAP_TLS === 'implicit',
      mustTls: settings.IMAP_TLS === 'starttls',
      user,
      password,
      mailbox: settings.IMAP_MAILBOX,
    },
    {
      desk: new Desk({ app, addresses, email }),
      clock: app.clock,
      log: app.log.child({ part: 'inbox' }),
    },
  );
  return { trouble: () => inbox.trouble, run: (signal) => inbox.run(signal) };
}
