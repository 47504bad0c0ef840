/** A topic of an ntfy server. */
export interface Topic {
  /** The server's origin: `https://ntfy.example.org`. */
  server: string;
  topic: string;
}

/** What a topic may be called (ntfy, OpenAPI description 2.0.0, path `/{topic}`). */
const NAME = /^[-_A-Za-z0-9]{1,64}$/u;

/** Whether a text is the name of a topic, without its server. */
export function isTopicName(text: string): boolean {
  return NAME.test(text);
}

/** `https://ntfy.example.org/dana-k3f9` as its server and its topic; undefined for anything else. */
export function readTopic(address: string): Topic | undefined {
  const url = URL.canParse(address) && address.length <= 300 ? new URL(address) : undefined;
  if (url?.protocol !== 'https:' || url.username !== '' || url.password !== '') return undefined;
  const topic = url.pathname.slice(1);
  if (url.search !== '' || url.hash !== '' || !isTopicName(topic)) return undefined;
  return { server: url.origin, topic };
}
