/** A real IMAP server on loopback: Debian's dovecot, with its own configuration in a folder of its own. */
import { spawn } from 'node:child_process';
import {
  chmodSync,
  chownSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { createConnection } from 'node:net';
import { userInfo } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { ImapFlow } from 'imapflow';
import { ROOM } from '../helpers/room.ts';
import { freePort } from './port.ts';

const DOVECOT = ['/usr/sbin/dovecot', '/usr/local/sbin/dovecot'].find((path) => existsSync(path));

/** Whether the tests of the mailbox can run; CI installs it (`.ci/run`). */
export const hasDovecot = DOVECOT !== undefined;

export interface MailServer {
  port: number;
  user: string;
  password: string;
  /** Puts a mail into the mailbox, as a mail server would. */
  deliver(source: string): Promise<void>;
  /** Subjects of what has not been seen. */
  unseen(): Promise<number>;
  stop(): Promise<void>;
}

/** Never root: dovecot refuses mail access by it. */
const NOBODY = 65534;

export async function dovecot(): Promise<MailServer> {
  if (DOVECOT === undefined) throw new Error('dovecot is not installed');
  const folder = mkdtempSync(join(ROOM, 'tagline-dovecot-'));
  const port = await freePort();
  const me = userInfo();
  const uid = me.uid === 0 ? NOBODY : me.uid;
  const gid = me.uid === 0 ? NOBODY : me.gid;
  const mail = join(folder, 'mail');
  mkdirSync(mail);
  chmodSync(folder, 0o755);
  if (me.uid === 0) chownSync(mail, uid, gid);
  const owner = me.uid === 0 ? 'root' : me.username;
  const login = me.uid === 0 ? 'nobody' : me.username;
  writeFileSync(
    join(folder, 'dovecot.conf'),
    `
base_dir = ${folder}/run
state_dir = ${folder}/state
log_path = ${folder}/log
protocols = imap
listen = 127.0.0.1
ssl = no
disable_plaintext_auth = no
default_internal_user = ${login}
default_login_user = ${login}
first_valid_uid = 1
mail_location = maildir:${mail}
mail_uid = ${uid}
mail_gid = ${gid}
passdb {
  driver = static
  args = password=let-me-in
}
userdb {
  driver = static
  args = uid=${uid} gid=${gid} home=${mail}
}
service imap-login {
  chroot =
  inet_listener imap {
    address = 127.0.0.1
    port = ${port}
  }
  inet_listener imaps {
    port = 0
  }
}
service anvil {
  chroot =
}
service auth {
  user = ${owner}
}
`,
  );
  const server = spawn(DOVECOT, ['-F', '-c', join(folder, 'dovecot.conf')], { stdio: 'ignore' });
  await answers(port);
  const [user, password] = ['words', 'let-me-in'];
  const open = async () => {
    const client = new ImapFlow({
      host: '127.0.0.1',
      port,
      secure: false,
      auth: { user, pass: password },
      logger: false,
    });
    await client.connect();
    return client;
  };
  return {
    port,
    user,
    password,
    async deliver(source) {
      const client = await open();
      await client.append('INBOX', source.replace(/\r?\n/gu, '\r\n'));
      await client.logout();
    },
    async unseen() {
      const client = await open();
      const status = await client.status('INBOX', { unseen: true });
      await client.logout();
      return status === false ? 0 : (status.unseen ?? 0);
    },
    async stop() {
      const gone = new Promise((done) => server.once('exit', done));
      server.kill('SIGTERM');
      await Promise.race([gone, wait(5000)]);
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

async function answers(port: number): Promise<void> {
  for (let tries = 0; tries < 400; tries++) {
    const up = await new Promise<boolean>((done) => {
      const socket = createConnection({ host: '127.0.0.1', port });
      socket.once('data', () => {
        socket.destroy();
        done(true);
      });
      socket.once('error', () => done(false));
    });
    if (up) return;
    await wait(50);
  }
  throw new Error('dovecot did not start');
}

/** For whoever reads the log of a test that was left out. */
export const NO_DOVECOT = 'dovecot is not installed: the mailbox is not tested';
