import { PARTY_DEFAULTS } from './defaults/party.ts';
import { RAPPEL_DEFAULTS } from './defaults/rappel.ts';
import type { DefaultRow } from './defaults/row.ts';
import { RULE_DEFAULTS } from './defaults/rules.ts';
import { SPREAD_DEFAULTS } from './defaults/spread.ts';
import { STAGE_DEFAULTS } from './defaults/stages.ts';

/** A row of the table of defaults, and where its figure comes from. */
export type { DefaultRow, Origin } from './defaults/row.ts';

const ROWS = [
  ...PARTY_DEFAULTS,
  ...STAGE_DEFAULTS,
  ...SPREAD_DEFAULTS,
  ...RULE_DEFAULTS,
  ...RAPPEL_DEFAULTS,
];

/** Every default the forecast uses, in the order they are printed. */
export const DEFAULTS: readonly DefaultRow[] = ROWS;

/** The name of a figure that the party may set. */
export type SettingName = (typeof ROWS)[number]['name'];

/** The settings in force: every default, overridden where the party said so. */
export type Settings = Record<SettingName, number>;

/** Begins the name of a climber's own factor on lead times: `leadFactor:<climber id>`, 0.3–3. */
export const LEAD_FACTOR_PREFIX = 'leadFactor:';
const LEAD_FACTOR = { low: 0.3, high: 3 };

/** Why a setting can't be used. */
export interface SettingProblem {
  name: string;
  value: number;
  reason: 'unknown' | 'out of range';
  low?: number;
  high?: number;
  unit?: string;
}

const byName = new Map<string, DefaultRow>(ROWS.map((row) => [row.name, row]));

/** The default of that name, or undefined. */
export function defaultRow(name: string): DefaultRow | undefined {
  return byName.get(name);
}

/** What is wrong with overrides; empty when all of them can be used. */
export function checkSettings(overrides: Record<string, number>): SettingProblem[] {
  const problems: SettingProblem[] = [];
  for (const [name, value] of Object.entries(overrides)) {
    const row = byName.get(name);
    const range = row ?? (name.startsWith(LEAD_FACTOR_PREFIX) ? LEAD_FACTOR : undefined);
    if (range === undefined) {
      problems.push({ name, value, reason: 'unknown' });
    } else if (!(value >= range.low && value <= range.high)) {
      const unit = row?.unit ?? '×';
      problems.push({
        name,
        value,
        reason: 'out of range',
        low: range.low,
        high: range.high,
        unit,
      });
    }
  }
  return problems;
}

/**
 * Defaults with the overrides on top.
 *
 * @throws RangeError for an override `checkSettings` would refuse: check before storing one
 */
export function resolveSettings(overrides: Record<string, number>): Settings {
  const [problem] = checkSettings(overrides);
  if (problem) throw new RangeError(`setting ${problem.name}=${problem.value}: ${problem.reason}`);
  const settings = {} as Settings;
  for (const row of ROWS) settings[row.name] = overrides[row.name] ?? row.value;
  return settings;
}

/** A climber's own factor on lead times; 1 unless set. */
export function leadFactor(overrides: Record<string, number>, climberId: string): number {
  return overrides[LEAD_FACTOR_PREFIX + climberId] ?? 1;
}
