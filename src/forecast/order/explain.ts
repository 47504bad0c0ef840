import type { Demand } from './problem.ts';

/** What climbers and pitches are called, for `explainConflict`. */
export interface Names {
  /** By climber index. */
  climbers: readonly string[];
  /** By pitch index: its number on the topo. */
  pitchNumbers: readonly number[];
}

/**
 * Why there is no lead order, in one or two sentences: the demands that clash, and what to do.
 */
export function explainConflict(conflict: readonly Demand[], names: Names): string {
  const [only] = conflict;
  if (only?.kind === 'ceiling') {
    return `Pitch ${names.pitchNumbers[only.pitch]} is harder than anybody leads. /roster edit changes what they lead, /topo edit the pitch.`;
  }
  const wants = conflict.map((demand) => say(demand, names));
  if (wants.length === 1) return `This can't be met: ${wants[0]}. Lift it for an order.`;
  return `These can't all be met: ${wants.join('; ')}. Lift any one of them for an order.`;
}

function say(demand: Demand, names: Names): string {
  const who = (climber: number) => names.climbers[climber] ?? `climber ${climber + 1}`;
  const all = (climbers: readonly number[], word: string) => climbers.map(who).join(` ${word} `);
  switch (demand.kind) {
    case 'ceiling':
      return `pitch ${names.pitchNumbers[demand.pitch]} within what somebody leads`;
    case 'pinned':
      return `${who(demand.climber)} assigned to pitch ${names.pitchNumbers[demand.pitch]}`;
    case 'wished':
      return `${all(demand.climbers, 'or')} wished for pitch ${names.pitchNumbers[demand.pitch]}`;
    case 'not-wished':
      return `not ${all(demand.climbers, 'or')} on pitch ${names.pitchNumbers[demand.pitch]}`;
    case 'least':
      return `at least ${leads(demand.leads)} for ${who(demand.climber)}`;
    case 'most':
      return `at most ${leads(demand.leads)} for ${who(demand.climber)}`;
    case 'rest':
      return `no more than ${leads(demand.run)} in a row`;
  }
}

function leads(count: number): string {
  return count === 1 ? '1 lead' : `${count} leads`;
}
