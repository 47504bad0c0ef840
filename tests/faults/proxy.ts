/** Stands between the bot and the stand-in: lets through, refuses, hangs, cuts. */
import { type AddressInfo, connect, createServer, type Socket } from 'node:net';

export type ProxyMood =
  | 'through'
  /** Resets every new connection: nothing listens there. */
  | 'refuses'
  /** Takes connections and passes nothing on. */
  | 'hangs';

export interface Between {
  origin: string;
  mood: ProxyMood;
  /** Every connection falls away at once. */
  cut(): void;
  close(): Promise<void>;
}

export async function proxyTo(target: string): Promise<Between> {
  const { hostname, port } = new URL(target);
  const open = new Set<Socket>();
  const keep = (socket: Socket) => {
    open.add(socket);
    socket.on('error', () => undefined).on('close', () => open.delete(socket));
  };
  const server = createServer((near) => {
    keep(near);
    if (proxy.mood === 'refuses') near.resetAndDestroy();
    if (proxy.mood !== 'through') return;
    const far = connect(Number(port), hostname);
    keep(far);
    near.pipe(far).pipe(near);
    near.on('close', () => far.destroy());
    far.on('close', () => near.destroy());
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const cut = () => {
    for (const socket of open) socket.resetAndDestroy();
  };
  const proxy: Between = {
    origin: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    mood: 'through',
    cut,
    close() {
      cut();
      return new Promise((resolve) => server.close(() => resolve()));
    },
  };
  return proxy;
}
