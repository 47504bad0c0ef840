import type { Pictures } from '../../app/pictures.ts';
import { pictureFile } from './file.ts';
import { sceneOf } from './scene-of.ts';
import { drawText } from './text.ts';

/** Pictures for a chat that shows them; wired in main.ts. */
export const pictures: Pictures = {
  file: pictureFile,
  text: (state, forecast, nowMs, width) => drawText(sceneOf(state, forecast, nowMs), width),
};

/** For a terminal, which shows the text form only and would pile up files otherwise. */
export const textPictures: Pictures = { ...pictures, file: async () => undefined };
