import { aboutRoutes } from './about.ts';
import { channelRoutes } from './channels.ts';
import { commandRoutes } from './commands.ts';
import { interactionRoutes } from './interactions.ts';
import { messageRoutes } from './messages.ts';
import { pinRoutes } from './pins.ts';
import type { Route } from './request.ts';
import { webhookRoutes } from './webhooks.ts';

interface Compiled {
  route: Route;
  segments: readonly string[];
}

/** Literal routes come before those with a parameter in the same place (`messages/pins`). */
const TABLE = index([
  ...aboutRoutes,
  ...channelRoutes,
  ...commandRoutes,
  ...interactionRoutes,
  ...webhookRoutes,
  ...pinRoutes,
  ...messageRoutes,
]);

/** Every route it serves, by name. */
export const ROUTES: readonly string[] = [...TABLE.values()].flat().map((c) => c.route.route);

export interface Match {
  route: Route;
  params: Record<string, string>;
}

/** `path` is what follows `/api/v10`. */
export function matchRoute(method: string, path: string): Match | undefined {
  const given = path.split('/').slice(1);
  for (const { route, segments } of TABLE.get(`${method} ${given.length}`) ?? []) {
    const params: Record<string, string> = {};
    const fits = segments.every((segment, i) => {
      const value = given[i] ?? '';
      if (!segment.startsWith(':')) return segment === value;
      params[segment.slice(1)] = decodeURIComponent(value);
      return value !== '';
    });
    if (fits) return { route, params };
  }
  return undefined;
}

function index(routes: readonly Route[]): Map<string, Compiled[]> {
  const table = new Map<string, Compiled[]>();
  for (const route of routes) {
    const [method = '', path = ''] = route.route.split(' ');
    const segments = path.split('/').slice(1);
    const key = `${method} ${segments.length}`;
    table.set(key, [...(table.get(key) ?? []), { route, segments }]);
  }
  return table;
}
