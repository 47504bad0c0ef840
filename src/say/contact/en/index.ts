import { alarm } from './alarm.ts';
import { asking } from './asking.ts';
import { common } from './common.ts';
import { news } from './news.ts';
import { ways } from './ways.ts';

/** Every sentence to a contact in English, which is written first. */
export const en = { ...common, ...asking, ...alarm, ...news, ...ways };
