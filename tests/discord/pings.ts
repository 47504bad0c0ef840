/** Whom a message notifies when it comes. */
export interface Pings {
  users: string[];
  roles: string[];
  everyone: boolean;
  /** Sent with SUPPRESS_NOTIFICATIONS: a badge, no sound. */
  silent: boolean;
}

export interface AllowedMentions {
  parse?: ('users' | 'roles' | 'everyone')[] | undefined;
  users?: string[] | undefined;
  roles?: string[] | undefined;
  replied_user?: boolean | undefined;
}

/** resources/message.mdx, Default Settings for Allowed Mentions. */
export const DEFAULT_ALLOWED = {
  message: { parse: ['users', 'roles', 'everyone'] },
  interaction: { parse: ['users'] },
} satisfies Record<string, AllowedMentions>;

/** SUPPRESS_NOTIFICATIONS: resources/message.mdx, Message Flags. */
const SILENT = 1 << 12;

/**
 * resources/message.mdx, Allowed Mentions Object: the mention must stand in the content and be
 * allowed. Inside code nothing is a mention. An escaped mention is counted as one: whether Discord
 * would is not published, and a test should rather find a ping too many.
 */
export function pingsOf(
  content: string,
  allowed: AllowedMentions,
  flags: number,
  mayPingEveryone: boolean,
): Pings {
  const text = content.replace(/```[\s\S]*?```/gu, ' ').replace(/(`+)[^`]+\1/gu, ' ');
  const found = (pattern: RegExp) => [
    ...new Set([...text.matchAll(pattern)].map((m) => m[1] ?? '')),
  ];
  const parses = (kind: 'users' | 'roles' | 'everyone') => allowed.parse?.includes(kind) === true;
  return {
    users: found(/<@!?(\d+)>/gu).filter((id) => parses('users') || allowed.users?.includes(id)),
    roles: found(/<@&(\d+)>/gu).filter((id) => parses('roles') || allowed.roles?.includes(id)),
    everyone: /@(everyone|here)\b/u.test(text) && parses('everyone') && mayPingEveryone,
    silent: (flags & SILENT) !== 0,
  };
}
