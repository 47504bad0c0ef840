/** The numbers by which a rescue service is called, as they were typed in one line. */
export interface EmergencyNumbers {
  /** The one that works near the wall, like 911; undefined when none was given. */
  local?: string;
  /** The direct one in its international form (ITU-T E.123: a plus sign first), which works from anywhere. */
  direct?: string;
}

/** `911, +1 209 555 0100`: which of the numbers typed works where. */
export function emergencyNumbers(text: string | undefined): EmergencyNumbers {
  const all = (text ?? '').split(/[,;/]|\bor\b/u).flatMap((part) => part.trim() || []);
  const direct = all.find((number) => number.startsWith('+'));
  const local = all.find((number) => !number.startsWith('+'));
  return {
    ...(local === undefined ? {} : { local }),
    ...(direct === undefined ? {} : { direct }),
  };
}

/** Every number that was typed, the one that works from anywhere first. */
export function numbersToCall(text: string | undefined): string[] {
  const { local, direct } = emergencyNumbers(text);
  return [direct, local].filter((number) => number !== undefined);
}
