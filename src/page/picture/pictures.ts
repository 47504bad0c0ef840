import type { Pictures } from '../../app/pictures.ts';
import { pictureFile } from './file.ts';
import { sceneOf } from './scene-of.ts';
import { drawText } from './text.ts';

/** Pictures for the use cases; wired in main.ts. */
export const pictures: Pictures = {
  file: pictureFile,
  text: (state, forecast, nowMs, width) => drawText(sceneOf(state, forecast, nowMs), width),
};
