import {
  type APIActionRowComponent,
  type APIButtonComponentWithCustomId,
  type APIButtonComponentWithURL,
  ButtonStyle,
  ComponentType,
} from 'discord.js';
import type { Button, LinkOut } from '../../say/reply.ts';
import { cut, oneLine } from '../plain.ts';
import { idOf, type KeptPress } from './custom-id.ts';
import { BUTTON_LABEL_MAX, BUTTONS_PER_ROW, ROWS_MAX } from './limits.ts';

type AnyButton = APIButtonComponentWithCustomId | APIButtonComponentWithURL;
export type ButtonRow = APIActionRowComponent<AnyButton>;

const STYLES = {
  plain: ButtonStyle.Secondary,
  main: ButtonStyle.Primary,
  danger: ButtonStyle.Danger,
} as const;

/**
 * Rows of five. A button that can't be made is left out and named in `problems`: the answer still
 * goes out, and the test that renders every command fails.
 */
export function buttonRows(
  buttons: readonly Button[],
  trip: string | undefined,
  links: readonly LinkOut[] = [],
): { rows: ButtonRow[]; problems: string[]; kept: KeptPress[] } {
  const problems: string[] = [];
  const kept: KeptPress[] = [];
  const made: AnyButton[] = links.map(({ label, url }) => ({
    type: ComponentType.Button,
    style: ButtonStyle.Link,
    label: cut(oneLine(label), BUTTON_LABEL_MAX),
    url,
  }));
  buttons.forEach((button, place) => {
    const label = oneLine(button.label).trim();
    const id = idOf({ ...button, ...(trip === undefined ? {} : { trip }) }, place);
    if (label === '') problems.push(`button ${place} has no label`);
    else if (made.length === ROWS_MAX * BUTTONS_PER_ROW) problems.push(`button ${label}: too many`);
    else {
      made.push({
        type: ComponentType.Button,
        style: STYLES[button.tone ?? 'plain'],
        label: cut(label, BUTTON_LABEL_MAX),
        custom_id: id.customId,
      });
      if (id.kept !== undefined) kept.push(id.kept);
    }
  });
  const rows: ButtonRow[] = [];
  for (let i = 0; i < made.length; i += BUTTONS_PER_ROW) {
    rows.push({ type: ComponentType.ActionRow, components: made.slice(i, i + BUTTONS_PER_ROW) });
  }
  return { rows, problems, kept };
}
