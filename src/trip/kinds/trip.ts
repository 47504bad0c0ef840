import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { isZone } from '../../time/zone.ts';
import { settingsPatch, settingsSchema } from '../settings.ts';
import { LENGTH_UNITS } from '../units.ts';
import { type Kind, type NoData, noData } from './kind.ts';

const name = z.string().trim().min(1).max(LIMITS.nameLength);
const place = z.strictObject({
  name: z.string().max(LIMITS.nameLength).optional(),
  lat: z.number().min(-90).max(90).optional(),
  lon: z.number().min(-180).max(180).optional(),
});
const basics = {
  name,
  zone: z.string().max(64).refine(isZone, 'not a zone of the tz database'),
  place,
  units: z.enum(LENGTH_UNITS),
  confidence: z.number().min(0.5).max(0.99),
  emergencyNumber: z.string().trim().min(2).max(40).optional(),
};

/** What a trip is opened with; `place` in degrees, `confidence` 0.5–0.99. */
export const opened = z.strictObject(basics);
/** A change to the trip; only what is named changes. */
export const edited = z.strictObject({
  name: name.optional(),
  place: place.optional(),
  units: basics.units.optional(),
  confidence: basics.confidence.optional(),
  emergencyNumber: basics.emergencyNumber,
  settings: settingsPatch.optional(),
});

/** `leadLineM` → `lead line`: what was edited, without its unit. */
function plainName(key: string): string {
  return key
    .replace(/(?:M|Km|Kg|Min|Clock)$/u, '')
    .replace(/[A-Z]/gu, (letter) => ` ${letter.toLowerCase()}`);
}

/** The trip itself: opened, edited, departed, down, closed. */
export const tripKinds: {
  'trip.opened': Kind<z.infer<typeof opened>>;
  'trip.edited': Kind<z.infer<typeof edited>>;
  'trip.departed': Kind<NoData>;
  'trip.down': Kind<NoData>;
  'trip.closed': Kind<NoData>;
} = {
  'trip.opened': {
    order: 'told',
    alive: false,
    strike: 'frames',
    private: false,
    vital: false,
    data: opened,
    fold(state, event) {
      Object.assign(state, event.data, { place: { ...event.data.place } });
      state.openedAtMs = event.atMs;
      state.openedBy = event.by;
    },
    say: (data) => `trip opened: ${data.name}`,
  },
  'trip.edited': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: edited,
    fold(state, event) {
      const { settings, place: moved, ...rest } = event.data;
      Object.assign(state, rest);
      Object.assign(state.place, moved);
      if (settings === undefined) return;
      const merged: Record<string, unknown> = { ...state.settings };
      for (const [key, value] of Object.entries(settings)) {
        if (value === null) delete merged[key];
        else merged[key] = value;
      }
      state.settings = settingsSchema.parse(merged);
    },
    say: (data) => {
      const { settings, ...rest } = data;
      const keys = [...Object.keys(rest), ...Object.keys(settings ?? {})];
      return `trip edited: ${[...new Set(keys.map(plainName))].join(', ')}`;
    },
  },
  'trip.departed': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: true,
    data: noData,
    fold(state, event) {
      if (state.departedAtMs !== undefined) {
        state.clashes.push({ what: 'phase-twice', seq: event.seq });
        return;
      }
      state.departedAtMs = event.atMs;
    },
    say: () => 'departed',
  },
  'trip.down': {
    order: 'happened',
    alive: false,
    strike: 'may',
    private: false,
    vital: true,
    data: noData,
    fold(state, event) {
      if (state.downAtMs !== undefined) {
        state.clashes.push({ what: 'phase-twice', seq: event.seq });
        return;
      }
      state.downAtMs = event.atMs;
    },
    say: () => 'everyone down',
  },
  'trip.closed': {
    order: 'told',
    alive: false,
    strike: 'frames',
    private: false,
    vital: true,
    data: noData,
    fold(state, event) {
      state.closedAtMs = event.atMs;
    },
    say: () => 'trip closed',
  },
};
