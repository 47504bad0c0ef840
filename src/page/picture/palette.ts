/**
 * Colours by what they are for. No meaning rests on them: every line has its own dash, shape and
 * words. Contrast against the ground: text 4.5:1 or more, lines and outlines 3:1 or more (WCAG 2.2,
 * success criteria 1.4.3 and 1.4.11); a test computes it.
 */
export interface Palette {
  ground: string;
  ink: string;
  /** Second-rank text. */
  quiet: string;
  /** Anchors' lines: they only guide the eye. */
  hair: string;
  night: string;
  nightEdge: string;
  planned: string;
  fanFill: string;
  fanEdge: string;
  mark: string;
}

export const LIGHT: Palette = {
  ground: '#ffffff',
  ink: '#111111',
  quiet: '#4a4a4a',
  hair: '#c9c9c9',
  night: '#e4e4ea',
  nightEdge: '#85858f',
  planned: '#666666',
  fanFill: '#bcd9f0',
  fanEdge: '#0b5a9c',
  mark: '#9a2f00',
};

export const DARK: Palette = {
  ground: '#14161a',
  ink: '#f5f5f5',
  quiet: '#c4c7cc',
  hair: '#44484f',
  night: '#262a33',
  nightEdge: '#7d828c',
  planned: '#a3a7ae',
  fanFill: '#1f4566',
  fanEdge: '#7cc0f5',
  mark: '#ffab85',
};

/** CSS custom properties, for a picture inside a page that is light or dark by itself. */
export const VARIABLES: Palette = Object.fromEntries(
  Object.keys(LIGHT).map((name) => [name, `var(--${cssName(name)})`]),
) as unknown as Palette;

function cssName(name: string): string {
  return name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
}

/** `--ground:#fff;…` */
export function cssVariables(palette: Palette): string {
  return Object.entries(palette)
    .map(([name, value]) => `--${cssName(name)}:${value}`)
    .join(';');
}
