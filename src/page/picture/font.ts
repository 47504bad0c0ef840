import { createRequire } from 'node:module';
import type { ResvgRenderOptions } from '@resvg/resvg-js';

/**
 * The one typeface of pictures and pages, shipped with the package so that they look the same
 * everywhere. Atkinson Hyperlegible (SIL Open Font License 1.1) keeps 1, l, I and 0, O apart.
 */
export const FAMILY = 'Atkinson Hyperlegible';

const require = createRequire(import.meta.url);
const PACKAGE = '@expo-google-fonts/atkinson-hyperlegible';

export const FONT_FILES = {
  regular: require.resolve(`${PACKAGE}/400Regular/AtkinsonHyperlegible_400Regular.ttf`),
  bold: require.resolve(`${PACKAGE}/700Bold/AtkinsonHyperlegible_700Bold.ttf`),
} as const;

export const FONT_OPTIONS: NonNullable<ResvgRenderOptions['font']> = {
  fontFiles: [FONT_FILES.regular, FONT_FILES.bold],
  // Whatever the machine has must not slip in.
  loadSystemFonts: false,
  defaultFontFamily: FAMILY,
};
