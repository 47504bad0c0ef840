import type { en } from '../en/index.ts';
import { alarm } from './alarm.ts';
import { answers } from './answers.ts';
import { asking } from './asking.ts';
import { commands } from './commands.ts';
import { common } from './common.ts';
import { family } from './family.ts';
import { mail } from './mail.ts';
import { news } from './news.ts';
import { ntfy } from './ntfy.ts';
import { page } from './page.ts';
import { push } from './push.ts';
import { sheet } from './sheet.ts';
import { ways } from './ways.ts';

/**
 * Every sentence to a contact in German. Nobody whose first language it is has read them yet: when somebody has,
 * `unreviewed` in languages.ts goes.
 */
export const de: Readonly<Record<keyof typeof en, string>> = {
  ...common,
  ...asking,
  ...alarm,
  ...news,
  ...answers,
  ...mail,
  ...page,
  ...ways,
  ...push,
  ...ntfy,
  ...sheet,
  ...family,
  ...commands,
};
