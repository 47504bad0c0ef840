import { Refusal } from '../../src/say/refusal.ts';
import type { Person } from '../../src/trip/people.ts';

export interface Wish {
  climber: string;
  pitch: number;
  /** False for a pitch that climber would rather not lead. */
  wants: boolean;
}

/**
 * Reads `Mara 3, Mara 5, Ines not 8`: who wishes to lead which pitch, or rather not.
 *
 * @throws Refusal that names the part it can't read
 */
export function readWishes(typed: string, among: readonly Person[], pitches: number): Wish[] {
  return typed
    .split(/[,;]/)
    .filter((part) => part.trim() !== '')
    .map((part) => {
      const match = /^\s*(.+?)\s+(not\s+)?(\d{1,2})\s*$/iu.exec(part);
      const name = match?.[1]?.toLowerCase();
      const person = among.find((p) => p.name.toLowerCase() === name || p.id === name);
      const pitch = Number(match?.[3]);
      if (match === null || person === undefined || pitch < 1 || pitch > pitches) {
        throw new Refusal('unreadable-value', [
          `Can't read the wish "${part.trim()}".`,
          'Write a climber and a pitch: wishes:"Mara 3, Ines not 8".',
        ]);
      }
      return { climber: person.id, pitch, wants: match[2] === undefined };
    });
}
