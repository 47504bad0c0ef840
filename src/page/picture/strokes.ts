import type { Palette } from './palette.ts';

export interface Stroke {
  stroke: string;
  strokeWidth: number;
  strokeDasharray?: string;
}

export type StrokeName =
  | 'told'
  | 'waiting'
  | 'planned'
  | 'projected'
  | 'fan-edge'
  | 'mark'
  | 'binding'
  | 'rain'
  | 'now';

/** Each kind of line has a dash and a weight of its own, so that it is known in grey too. */
export function strokes(name: StrokeName, p: Palette): Stroke {
  switch (name) {
    case 'told':
      return { stroke: p.ink, strokeWidth: 3 };
    case 'waiting':
      return { stroke: p.ink, strokeWidth: 1.5 };
    case 'planned':
      return { stroke: p.planned, strokeWidth: 2, strokeDasharray: '2 4' };
    case 'projected':
      return { stroke: p.fanEdge, strokeWidth: 2.5, strokeDasharray: '9 4' };
    case 'fan-edge':
      return { stroke: p.fanEdge, strokeWidth: 1 };
    case 'mark':
      return { stroke: p.mark, strokeWidth: 1.5, strokeDasharray: '6 3 1.5 3' };
    case 'binding':
      return { stroke: p.mark, strokeWidth: 3 };
    case 'rain':
      return { stroke: p.planned, strokeWidth: 1, strokeDasharray: '3 9' };
    case 'now':
      return { stroke: p.ink, strokeWidth: 1.5 };
  }
}

/** As SVG attributes. */
export function strokeOf(name: StrokeName, palette: Palette): string {
  const { stroke, strokeWidth, strokeDasharray } = strokes(name, palette);
  const dash = strokeDasharray === undefined ? '' : ` stroke-dasharray="${strokeDasharray}"`;
  return `stroke="${stroke}" stroke-width="${strokeWidth}"${dash}`;
}
