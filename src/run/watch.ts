import type { App } from '../app/app.ts';
import { sweepOften } from '../app/privacy/sweep.ts';
import { watchParts } from '../app/watch/parts.ts';
import type { Witness } from '../delivery/clocks.ts';
import { HearingWatch } from '../delivery/hearing.ts';
import { Watch } from '../delivery/loop.ts';
import type { Mail, MailSettings } from '../delivery/mail.ts';
import { MailCheck } from '../delivery/mail-check.ts';
import type { Ntfy } from '../delivery/ntfy.ts';
import { ownerName, type ProcessPort, takeOver } from '../delivery/owner.ts';
import type { Ways } from '../delivery/ports.ts';
import { Presence } from '../delivery/presence.ts';
import { lookOver } from '../delivery/set-aside.ts';
import type { Webhook } from '../delivery/webhook.ts';
import { type Gateway, Health, lostMs } from '../ops/health.ts';
import { beat, fetchAsk } from '../ops/heartbeat.ts';
import { createCounters, createMetrics } from '../ops/metrics.ts';
import { OpenTrips } from '../ops/open-trips.ts';
import type { Settings } from '../settings.ts';
import { dropWithTrips } from './erased-files.ts';
import { inboxOf } from './inbox.ts';
import { pageSecret } from './page-secret.ts';

export interface RunningWatch {
  health: Health;
  metrics: { text(): Promise<string>; contentType: string };
  /** Since when posts don't reach us, epoch milliseconds; undefined while they do. */
  deafSinceMs(): number | undefined;
  /** Whether the mail server refuses our mail; false where none is set up. */
  mailRefused(): boolean;
  /** Stops looking and lets what is on its way land. */
  stop(): Promise<void>;
}

export interface WatchRun {
  app: App;
  self: ProcessPort;
  settings: Settings;
  /** By chat; mail is added here when it is set up. */
  ways: Ways;
  gateway?: (() => Gateway) | undefined;
  /** The chat's own time; the mail server's is added here. */
  witness?: Witness | undefined;
}

/** Starts the watch with everything around it: mail, health, metrics, the outgoing heartbeat. */
export async function startWatch({
  app,
  self,
  settings,
  ways,
  gateway,
  witness,
}: WatchRun): Promise<RunningWatch> {
  const mail = await mailOf(settings, app.clock);
  const webhook = await webhookOf(settings, app.clock);
  const push = await pushOf(app, settings);
  const ntfy = await ntfyOf(settings, app.clock);
  const { counters, registry } = createCounters();
  const hearing = hearingOf(app, gateway);
  const parts = watchParts(app, {
    owner: ownerName(self),
    organizer: settings.SMTP_FROM?.match(/[^\s<>]+@[^\s<>]+/u)?.[0],
    ways: {
      ...ways,
      ...(mail === undefined ? {} : { email: mail.mail.email }),
      ...(webhook === undefined ? {} : { phone: webhook.phone }),
      ...push,
      ...(ntfy === undefined ? {} : { ntfy: ntfy.ntfy }),
    },
    counters,
    deafSinceMs: () => hearing?.deafSinceMs,
    witnesses: [witness, mail?.time].filter((w) => w !== undefined),
  });
  const watch = new Watch(parts);
  const loop = () => watch.status();
  const inbox = await inboxOf(app, settings, mail?.mail.email);
  const mailCheck = mail === undefined ? undefined : new MailCheck(mail.mail, app);
  const taken = await takeOver(app.store, self);
  const presence = new Presence({ ...app, owner: parts.owner }, () => watch.poke());
  await presence.show();
  if (taken > 0) app.log.info({ notices: taken }, 'took over notices of a process that is gone');
  const trips = new OpenTrips(app.store, settings.TAGLINE_DATA, app.log);
  const health = new Health({
    clock: app.clock,
    store: app.store,
    records: app.records,
    missing: () => trips.missing(),
    loop,
    ...(gateway === undefined ? {} : { gateway }),
    ...(webhook === undefined ? {} : { phones: webhook.trouble }),
    ...(ntfy === undefined ? {} : { ntfy: ntfy.trouble }),
    ...(mailCheck === undefined && inbox === undefined
      ? {}
      : { mail: () => mailCheck?.trouble ?? inbox?.trouble() }),
  });
  const monoMs = () => app.clock.monoMs();
  const metrics = createMetrics({ registry, loop, monoMs, numbers: () => health.numbers() });
  // Before anything runs: a port that is taken must leave nothing behind.
  const server =
    settings.TAGLINE_HEALTH_PORT === undefined
      ? undefined
      : await (await import('../ops/health-server.ts')).startHealthServer({
          report: () => health.report(),
          metrics,
          host: settings.TAGLINE_HEALTH_HOST,
          port: settings.TAGLINE_HEALTH_PORT,
        });
  const deaf = app.changes.listen(() => watch.poke());
  const files = dropWithTrips(app, settings.TAGLINE_DATA);
  // What other processes have changed is told to all parts as if it had been changed here.
  const deafToOthers = await app.store.changes((trip) => app.changes.tell(trip));
  const off = new AbortController();
  const over = lookOver(parts, off.signal).catch((error: unknown) => {
    app.log.error({ err: error }, 'the open trips could not be looked over');
  });
  const believed = () => watch.status().doubt === undefined;
  const sweeping = sweepOften(app, believed, off.signal);
  const checking = mailCheck === undefined ? [] : [mailCheck.run(off.signal)];
  const running = [
    watch.run(off.signal),
    presence.run(off.signal),
    over,
    ...(hearing === undefined ? [] : [hearing.run(off.signal)]),
    sweeping,
    ...checking,
    ...(inbox === undefined ? [] : [inbox.run(off.signal)]),
    ...heartbeats(app, settings, health, off.signal),
    ...(await weatherOf(app, settings, off.signal)),
  ];
  return {
    health,
    metrics,
    deafSinceMs: () => hearing?.deafSinceMs,
    mailRefused: () => mailCheck?.trouble !== undefined,
    async stop() {
      deaf();
      off.abort();
      await Promise.all(running);
      await files();
      await deafToOthers();
      // The others need not wait until this process counts as gone.
      await app.store.releaseLeases(parts.owner).catch(() => 0);
      await server?.close();
      mail?.mail.close();
    },
  };
}

/** Only a chat that needs a connection can lose it. */
function hearingOf(app: App, gateway: (() => Gateway) | undefined): HearingWatch | undefined {
  if (gateway === undefined) return undefined;
  const { store, clock, log, records } = app;
  return new HearingWatch({
    ...{ store, clock, log, records },
    lostMs: () => lostMs(gateway()),
    answers: () => gateway().elsewhere !== true,
  });
}

function heartbeats(app: App, settings: Settings, health: Health, signal: AbortSignal) {
  const url = settings.TAGLINE_HEARTBEAT_URL;
  if (url === undefined) return [];
  const { clock, log } = app;
  const report = () => health.report();
  return [beat({ clock, log, report, ask: fetchAsk, url, everyMs: 60_000 }, signal)];
}

/** Off until the operator names the services and a contact. */
async function weatherOf(app: App, settings: Settings, signal: AbortSignal) {
  const { TAGLINE_WEATHER: names, TAGLINE_WEATHER_CONTACT: contact } = settings;
  if (names === undefined || contact === undefined) return [];
  const [{ WeatherKeeper }, { SERVICES }] = await Promise.all([
    import('../app/weather/keeper.ts'),
    import('../app/weather/services.ts'),
  ]);
  const services = names.map((name) => SERVICES[name]);
  return [new WeatherKeeper({ app, services, contact }).run(signal)];
}

async function webhookOf(settings: Settings, clock: App['clock']): Promise<Webhook | undefined> {
  const { TAGLINE_WEBHOOK_URL: url, TAGLINE_WEBHOOK_SECRET: secrets } = settings;
  if (url === undefined || secrets === undefined) return undefined;
  const { createWebhook } = await import('../delivery/webhook.ts');
  return createWebhook({ url, secrets }, clock);
}

/** Where browsers can subscribe, messages to them go out. */
async function pushOf(app: App, settings: Settings): Promise<Pick<Ways, 'push'>> {
  const { TAGLINE_PAGE_URL: subject } = settings;
  if (app.push === undefined || subject === undefined) return {};
  const [{ createPush }, { pushKeys }] = await Promise.all([
    import('../delivery/push.ts'),
    import('../delivery/push-keys.ts'),
  ]);
  const keys = pushKeys(pageSecret(settings.TAGLINE_DATA));
  return createPush({ keys, subject: new URL(subject).origin }, app.clock);
}

async function ntfyOf(settings: Settings, clock: App['clock']): Promise<Ntfy | undefined> {
  const { TAGLINE_NTFY_SERVERS: servers, TAGLINE_NTFY_TOKEN: token } = settings;
  if (servers === undefined) return undefined;
  const { createNtfy } = await import('../delivery/ntfy.ts');
  return createNtfy({ servers, token }, clock);
}

/** What is not set up is not loaded, neither here nor above. */
async function mailOf(
  settings: Settings,
  clock: App['clock'],
): Promise<{ mail: Mail; time: Witness } | undefined> {
  const { SMTP_HOST: host, SMTP_FROM: from } = settings;
  if (host === undefined || from === undefined) return undefined;
  const mail: MailSettings = {
    host,
    port: settings.SMTP_PORT,
    implicitTls: settings.SMTP_TLS === 'implicit',
    startTls: settings.SMTP_TLS === 'whenOffered' ? 'whenOffered' : 'required',
    from,
    ...(settings.SMTP_USER === undefined ? {} : { user: settings.SMTP_USER }),
    ...(settings.SMTP_PASSWORD === undefined ? {} : { password: settings.SMTP_PASSWORD }),
  };
  const [{ createMail }, { mailTime }] = await Promise.all([
    import('../delivery/mail.ts'),
    import('../delivery/mail-time.ts'),
  ]);
  return { mail: createMail(mail, clock), time: mailTime(mail) };
}
