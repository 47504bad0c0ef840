import { GatewayCloseCodes as Close, GatewayOpcodes as Op } from 'discord.js';
import type { RawData, WebSocket } from 'ws';
import { z } from 'zod';
import type { StandClock } from '../clock.ts';
import { GATEWAY } from '../limits.ts';
import type { Session } from './session.ts';

const payload = z.strictObject({
  op: z.int(),
  d: z.unknown(),
  s: z.null().optional(),
  t: z.null().optional(),
});

export interface Ears {
  identify(connection: Connection, d: unknown): void;
  resume(connection: Connection, d: unknown): void;
  heartbeat(connection: Connection, seq: unknown): void;
  members(connection: Connection, d: unknown): void;
  closed(connection: Connection, code: number): void;
}

/** One socket from the bot. events/gateway.mdx, Sending Events: sizes, rates, what comes first. */
export class Connection {
  session: Session | undefined;
  readonly #socket: WebSocket;
  readonly #clock: StandClock;
  readonly #ears: Ears;
  #sentAtMs: number[] = [];

  constructor(socket: WebSocket, clock: StandClock, ears: Ears) {
    this.#socket = socket;
    this.#clock = clock;
    this.#ears = ears;
    socket.on('message', (data) => this.#receive(data));
    socket.on('close', (code) => ears.closed(this, code));
    // A cut socket reports an error before it closes; the close says all there is to say.
    socket.on('error', () => socket.terminate());
  }

  get socket(): WebSocket {
    return this.#socket;
  }

  send(op: Op, d: unknown): void {
    this.#socket.send(JSON.stringify({ op, d, s: null, t: null }));
  }

  raw(text: string): void {
    this.#socket.send(text);
  }

  close(code: Close): void {
    this.#socket.close(code);
  }

  /** As when a cable is pulled: no close frame. */
  cut(): void {
    this.#socket.terminate();
  }

  #receive(data: RawData) {
    const text = data.toString();
    const nowMs = this.#clock.wallMs();
    this.#sentAtMs = this.#sentAtMs.filter((ms) => ms > nowMs - GATEWAY.sendsWindowMs);
    this.#sentAtMs.push(nowMs);
    if (this.#sentAtMs.length > GATEWAY.sendsMax) return this.close(Close.RateLimited);
    if (Buffer.byteLength(text) > GATEWAY.payloadBytesMax) return this.close(Close.DecodeError);
    const parsed = payload.safeParse(jsonOf(text));
    if (!parsed.success) return this.close(Close.DecodeError);
    this.#act(parsed.data.op, parsed.data.d);
  }

  #act(op: Op, d: unknown) {
    if (op === Op.Heartbeat) return this.#ears.heartbeat(this, d);
    if (op === Op.Identify || op === Op.Resume) {
      if (this.session !== undefined) return this.close(Close.AlreadyAuthenticated);
      return op === Op.Identify ? this.#ears.identify(this, d) : this.#ears.resume(this, d);
    }
    if (this.session === undefined) return this.close(Close.NotAuthenticated);
    if (op === Op.RequestGuildMembers) return this.#ears.members(this, d);
    // A new status to show changes nothing that people's messages depend on.
    if (op !== Op.PresenceUpdate) this.close(Close.UnknownOpcode);
  }
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
