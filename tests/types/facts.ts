/**
 * What must not compile about facts, kinds and the tables beside them. Each case stands beside its
 * twin that must compile, so that the error is about the one thing that differs. The compiler holds
 * both (`npm run types`): it also complains of an expected error that isn't there.
 */
import type { Manners } from '../../src/alarm/notice.ts';
import type { DataOf, Draft, DraftOf, Fact, FactOf, KindName } from '../../src/trip/fact.ts';
import type { Kind, NoData } from '../../src/trip/kinds/kind.ts';
import { type LengthUnit, lengthText, toMetres } from '../../src/trip/units.ts';

// A kind's name.
export const kind: KindName = 'pitch.done';
// @ts-expect-error misspelt
export const misspelt: KindName = 'pitch.doen';

// What is to be recorded.
export const draft: Draft = { kind: 'pitch.done', data: { pitch: 5 } };
// @ts-expect-error a misspelt kind
export const strangeDraft: Draft = { kind: 'pitch.doen', data: { pitch: 5 } };
// @ts-expect-error a field too many in the data
export const wideDraft: Draft = { kind: 'pitch.done', data: { pitch: 5, colour: 'red' } };
// @ts-expect-error a field too few
export const shortDraft: Draft = { kind: 'pitch.done', data: {} };
// @ts-expect-error a field of the wrong type
export const wrongDraft: Draft = { kind: 'pitch.done', data: { pitch: '5' } };
// @ts-expect-error the data of another kind
export const mixedDraft: DraftOf<'pitch.done'> = { kind: 'pitch.done', data: { minutes: 10 } };
// @ts-expect-error the draft itself has a field too many: numbers are given when it is recorded
export const numbered: Draft = { kind: 'pitch.done', data: { pitch: 5 }, seq: 1 };

// What stands in the record.
const head = { trip: 't', seq: 1, id: 'e1', atMs: 0, recordedAtMs: 0, by: { id: 'u', name: 'U' } };
export const fact: Fact = { ...head, kind: 'bivy.planned', data: { pitch: 5 } };
// @ts-expect-error a misspelt kind
export const strangeFact: Fact = { ...head, kind: 'bivy.plan', data: { pitch: 5 } };
// @ts-expect-error a field too many in the data
export const wideFact: Fact = { ...head, kind: 'bivy.planned', data: { pitch: 5, places: 2 } };
// @ts-expect-error a field too many beside the data
export const taggedFact: Fact = { ...head, kind: 'bivy.planned', data: { pitch: 5 }, tag: 1 };
// @ts-expect-error no field of this kind
export const place = (planned: FactOf<'bivy.planned'>) => planned.data.places;
export const pitch = (planned: FactOf<'bivy.planned'>): number => planned.data.pitch;
// @ts-expect-error a kind compared with a name that is none
export const compared = (some: Fact) => some.kind === 'bivy.plan';
// @ts-expect-error data of a kind that isn't there
export type None = DataOf<'bivy.plan'>;

// A kind answers every question about itself.
declare const whole: Kind<NoData>;
export const answered: Kind<NoData> = whole;
// @ts-expect-error silent about whether it can be struck
export const noStrike: Kind<NoData> = whole as Omit<Kind<NoData>, 'strike'>;
// @ts-expect-error silent about whether it is a sign of life
export const noAlive: Kind<NoData> = whole as Omit<Kind<NoData>, 'alive'>;
// @ts-expect-error silent about who may read its words
export const noPrivate: Kind<NoData> = whole as Omit<Kind<NoData>, 'private'>;
// @ts-expect-error silent about whether a full record takes it
export const noVital: Kind<NoData> = whole as Omit<Kind<NoData>, 'vital'>;
// @ts-expect-error silent about when it is folded
export const noOrder: Kind<NoData> = whole as Omit<Kind<NoData>, 'order'>;
// @ts-expect-error without a shape
export const noShape: Kind<NoData> = whole as Omit<Kind<NoData>, 'data'>;
// @ts-expect-error an amendable field that its data hasn't got
export const amendable: Kind<{ pitch: number }>['amendable'] = ['leader'];
export const amendableToo: Kind<{ pitch: number }>['amendable'] = ['pitch'];

// Each kind of notice has its manner: how urgent, how long it is worth telling.
declare const manners: Manners;
export const told: Manners = manners;
// @ts-expect-error a kind of notice that the table forgot
export const forgotten: Manners = manners as Omit<Manners, 'unreadable'>;
// @ts-expect-error a manner without its life
export const endless: Manners = { ...manners, drill: { urgency: 4 } };

// Units of length.
export const foot: LengthUnit = 'ft';
// @ts-expect-error a unit without its metres
export const yard: LengthUnit = 'yd';
// @ts-expect-error nor is one converted
export const converted = toMetres(1, 'yd');
// @ts-expect-error nor shown
export const shown = lengthText(1, 'yd');
export const names: Record<LengthUnit, string> = { m: 'metres', ft: 'feet' };
// @ts-expect-error a table that forgot a unit
export const fewer: Record<LengthUnit, string> = { m: 'metres' };
