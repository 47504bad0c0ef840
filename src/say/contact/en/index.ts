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

/** Every sentence to a contact in English, which is written first. */
export const en = {
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
