import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import type { PitchState } from '../state.ts';
import { pitchData, readPitch } from '../topo.ts';
import type { Kind } from './kind.ts';

/** A whole topo, pitch 1 first; it replaces the one before. `from` is the file's name. */
export const loaded = z.strictObject({
  pitches: z
    .array(pitchData)
    .min(1)
    .max(LIMITS.pitches)
    .refine((all) => all.every((p, i) => p.number === i + 1), 'pitches run 1, 2, 3…'),
  from: z.string().max(LIMITS.nameLength).optional(),
});
/** One pitch of the topo, new at the upper end or in place of the old one. */
export const pitchSet = z.strictObject({ pitch: pitchData });
/** The last pitch is taken off the topo. */
export const pitchRemoved = z.strictObject({ number: z.int().min(1).max(LIMITS.pitches) });

/** Plan events fold before wall events, so no pitch has marks yet when the topo is laid. */
export const topoKinds: {
  'topo.loaded': Kind<z.infer<typeof loaded>>;
  'topo.set': Kind<z.infer<typeof pitchSet>>;
  'topo.removed': Kind<z.infer<typeof pitchRemoved>>;
} = {
  'topo.loaded': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: loaded,
    fold(state, event) {
      state.pitches = event.data.pitches.map((p): PitchState => readPitch(p));
    },
    say: (data) => `topo of ${data.pitches.length} pitches`,
  },
  'topo.set': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: pitchSet,
    fold(state, event) {
      const { pitch } = event.data;
      if (pitch.number > state.pitches.length + 1) {
        state.clashes.push({ what: 'no-such-pitch', seq: event.seq, pitch: pitch.number });
        return;
      }
      state.pitches[pitch.number - 1] = readPitch(pitch);
    },
    say: (data) => `pitch ${data.pitch.number} set in the topo`,
  },
  'topo.removed': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: pitchRemoved,
    fold(state, event) {
      if (event.data.number !== state.pitches.length) {
        state.clashes.push({ what: 'no-such-pitch', seq: event.seq, pitch: event.data.number });
        return;
      }
      state.pitches.pop();
      state.links.delete(event.data.number - 1);
    },
    say: (data) => `pitch ${data.number} taken off the topo`,
  },
};
