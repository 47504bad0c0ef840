import type { Pictures } from '../../app/pictures.ts';
import { sceneOf } from './scene-of.ts';
import { drawText } from './text.ts';

/** Pictures for a chat that shows them; wired in main.ts. */
export const pictures: Pictures = {
  // Loaded with the first picture: drawing takes a third of the time that everything takes to load.
  file: async (state, forecast, nowMs) =>
    (await import('./file.ts')).pictureFile(state, forecast, nowMs),
  text: (state, forecast, nowMs, width) => drawText(sceneOf(state, forecast, nowMs), width),
};

/** For a terminal, which shows the text form only and would pile up files otherwise. */
export const textPictures: Pictures = { ...pictures, file: async () => undefined };
