import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import type { Kind } from './kind.ts';

const note = z.string().trim().min(1).max(LIMITS.noteLength);

/** What a rescuer asks and the trip doesn't know otherwise: as given, never guessed. */
export const sheetDetails = z.strictObject({
  /** Make, colour, registration. */
  vehicle: note.optional(),
  /** Where it stands. */
  parked: note.optional(),
  approach: note.optional(),
  /** Ways off, and the plan for bad weather. */
  escape: note.optional(),
  /** Ropes, tent, portaledge, their colours. */
  gear: note.optional(),
  food: note.optional(),
  /** Radio channels, beacon, lights. */
  signalling: note.optional(),
  notes: note.optional(),
});

/** Details for the sheet, each a short text. */
export type SheetDetails = z.infer<typeof sheetDetails>;
/** The name of one detail. */
export type SheetDetail = keyof SheetDetails;

/** Only what is named changes; null takes it away. */
export const detailsPatch = z.strictObject(
  Object.fromEntries(
    Object.keys(sheetDetails.shape).map((key) => [key, note.nullable().optional()]),
  ) as { [K in SheetDetail]: z.ZodOptional<z.ZodNullable<typeof note>> },
);
/** A CAP message as it was issued: later ones refer to it. */
const capIssued = z.strictObject({
  status: z.enum(['Actual', 'Test']),
  msgType: z.enum(['Alert', 'Update', 'Cancel']),
  newest: z.int().min(0),
});

/** The sheet was opened, and in which form. Without `cap` no new CAP message was issued with it. */
export const sheetOpened = z.strictObject({
  as: z.enum(['message', 'print', 'cap']),
  cap: capIssued.optional(),
});

/** The sheet for the rescue service: its details, and who opened it. */
export const watchSheetKinds: {
  'watch.details': Kind<z.infer<typeof detailsPatch>>;
  'watch.sheet': Kind<z.infer<typeof sheetOpened>>;
} = {
  'watch.details': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: true,
    vital: false,
    data: detailsPatch,
    fold(state, event) {
      const merged: Record<string, unknown> = { ...state.watch.details };
      for (const [key, value] of Object.entries(event.data)) {
        if (value === null) delete merged[key];
        else if (value !== undefined) merged[key] = value;
      }
      state.watch.details = merged;
    },
    say: (data) => `sheet: ${Object.keys(data).join(', ')}`,
  },
  'watch.sheet': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: true,
    vital: true,
    repeat: 'folds',
    data: sheetOpened,
    fold(state, event) {
      const { seq, atMs, by } = event;
      const { as, cap } = event.data;
      state.watch.opened.push({ seq, atMs, by: by.name, as, ...(cap && { cap }) });
    },
    say: ({ as, cap }) => `sheet opened (${[as, cap?.msgType].filter(Boolean).join(', ')})`,
  },
};
