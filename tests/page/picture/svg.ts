import { SaxesParser } from 'saxes';

/** What a test reads out of a drawing, without the code that made it. */
export interface Node {
  name: string;
  attributes: Readonly<Record<string, string>>;
  text: string;
  /** `data-part` of itself or of the group it is in. */
  part: string;
}

/** Every element of an SVG, by a strict XML parser: a document that isn't well formed throws. */
export function nodesOf(svg: string): Node[] {
  const parser = new SaxesParser();
  const nodes: Node[] = [];
  const open: Node[] = [];
  parser.on('error', (error) => {
    throw error;
  });
  parser.on('opentag', ({ name, attributes }) => {
    const own = attributes as Record<string, string>;
    const node = {
      name,
      attributes: own,
      text: '',
      part: own['data-part'] ?? open.at(-1)?.part ?? '',
    };
    nodes.push(node);
    open.push(node);
  });
  parser.on('text', (text) => {
    const last = open.at(-1);
    if (last !== undefined) last.text += text;
  });
  parser.on('closetag', () => {
    open.pop();
  });
  parser.write(svg).close();
  return nodes;
}

export function ofPart(nodes: readonly Node[], part: string, name?: string): Node[] {
  return nodes.filter((n) => n.part === part && (name === undefined || n.name === name));
}

/** Corners of a path of straight lines: M, L, H, V and Z only. */
export function corners(path: string): { x: number; y: number }[] {
  const found: { x: number; y: number }[] = [];
  for (const [, command, numbers = ''] of path.matchAll(/([MLHVZ])([^MLHVZ]*)/gu)) {
    const [a = 0, b = 0] = numbers.split(/[ ,]+/u).map(Number);
    const last = found.at(-1) ?? { x: 0, y: 0 };
    if (command === 'H') found.push({ x: a, y: last.y });
    else if (command === 'V') found.push({ x: last.x, y: a });
    else if (command !== 'Z') found.push({ x: a, y: b });
  }
  return found;
}

export function num(node: Node | undefined, name: string): number {
  const value = Number(node?.attributes[name]);
  if (!Number.isFinite(value)) throw new Error(`no number ${name} on ${node?.name}`);
  return value;
}
