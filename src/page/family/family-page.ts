import { reachable } from '../../alarm/who.ts';
import { type Home, when } from '../../alarm/words/home.ts';
import { modeIn } from '../../alarm/words/mode-home.ts';
import { forReader, ownZone } from '../../alarm/words/reader.ts';
import type { Forecast } from '../../forecast/model.ts';
import { CODES, LANGUAGES } from '../../say/contact/languages.ts';
import { ENGLISH, type Words } from '../../say/contact/words.ts';
import type { Hours } from '../../say/hours.ts';
import { bare } from '../../say/message.ts';
import type { Line } from '../../say/reply.ts';
import { clock, offset } from '../../time/format.ts';
import { dayMonthIn, weekdayIn } from '../../time/in-language.ts';
import { wallTime } from '../../time/zone.ts';
import { isOver, modeOf } from '../../trip/mode.ts';
import { publicState } from '../../trip/public.ts';
import type { TripState } from '../../trip/state.ts';
import { linesHtml } from '../contact/line.ts';
import { documentOf } from '../server/document.ts';
import { type Html, html } from '../server/html.ts';
import { planLines } from './plan.ts';
import { alarmLines, heardLines, silentLine } from './words.ts';

export interface FamilyPage {
  state: TripState;
  forecast: Forecast | undefined;
  nowMs: number;
  /** Path of this page, without a slash at its end. */
  path: string;
  /** The reader's own clock: an IANA zone, or what they typed that names none. */
  clock?: { zone: string } | { unread: string; may: readonly string[] } | undefined;
  still: boolean;
  /** What they read; English where it is left out. */
  w?: Words;
  /** The clock of their part of the world; the trip's where it is left out. */
  hours?: Hours | undefined;
  /** They picked the language here, so it goes with every link. */
  picked?: boolean;
}

/** The page for who waits with the party's people: how it goes, and nothing that is private. */
export function familyPage(page: FamilyPage): string {
  const { forecast, nowMs, w = ENGLISH } = page;
  // Everything below is worked out of this, so what isn't in it can't be shown.
  const state = publicState(page.state);
  const reader = page.clock !== undefined && 'zone' in page.clock ? page.clock : {};
  const h = { w, state, nowMs, own: ownZone(state, reader, nowMs) };
  const contacts = reachable(page.state).map(({ name }) => ({ name }));
  const over = isOver(state);
  const alarm = alarmLines(h, contacts);
  const read = (lines: readonly Line[]) =>
    // Which clock is whose is said once, below.
    linesHtml(forReader(h, reader, { subject: '', lines }).lines.slice(0, lines.length));
  return documentOf({
    w,
    title: `${state.name}, ${when({ ...h, own: undefined }, nowMs).text}`,
    hours: page.hours ?? state.settings.hours,
    body: html`<h1>${state.name}</h1>
${alarm && html`<section class="alarm"><h2>${alarm.title}</h2>${read(alarm.lines)}</section>`}
<p class="lead">${bare(modeIn(h))}</p>
${read(heardLines(h))}
${over || alarm !== undefined ? undefined : html`<p>${silentLine(w, contacts)}</p>`}
${clocks(page, h)}
${over || alarm !== undefined ? undefined : plan(h, forecast)}
${progress(h)}`,
    note: html`<p class="screen">${w.text('family.link')} ${still(page, w)}</p>
<p class="screen">${languageLinks(page, w)}</p>`,
  });
}

/** What time it is at the wall and with the reader, side by side, and where they say where they are. */
function clocks(page: FamilyPage, { w, state, nowMs }: Home): Html {
  const { path, clock: own, still: stands, picked } = page;
  const at = wallTime(state.zone, nowMs);
  const day = (wall: typeof at) => weekdayIn(w.language, wall);
  const wall = `${day(at)} ${dayMonthIn(w.language, at)} ${clock(state.zone, nowMs)}`;
  const zone = own !== undefined && 'zone' in own ? own.zone : undefined;
  const now =
    zone === undefined
      ? w.text('family.clock', { wall, offset: offset(at) })
      : w.text('family.clockYours', {
          wall,
          offset: offset(at),
          own: `${day(wallTime(zone, nowMs))} ${clock(zone, nowMs)}`,
          zone,
        });
  return html`<p class="quiet">${now} ${w.text(zone === undefined ? 'family.times' : 'family.timesBoth')}</p>
<form class="screen" method="get" action="${path}">
${
  own !== undefined &&
  'unread' in own &&
  html`<p role="alert">${w.text('family.unknown', { text: own.unread })}${own.may.length === 0 ? '' : ` ${w.text('family.may', { places: own.may.slice(0, 5).join(', ') })}`}</p>`
}
${stands && html`<input type="hidden" name="still" value="1">`}
${picked === true && html`<input type="hidden" name="l" value="${w.language}">`}
<p><label>${w.text('family.city')}<br><input name="at" maxlength="60" autocomplete="off" value="${zone ?? (own !== undefined && 'unread' in own ? own.unread : '')}" placeholder="${w.text('family.cityLike')}"></label></p>
<button class="act" type="submit">${w.text('family.show')}</button></form>`;
}

function plan(h: Home, forecast: Forecast | undefined): Html | undefined {
  const { w, state, nowMs } = h;
  if (forecast === undefined || modeOf(state, nowMs).is === 'retreating') return undefined;
  return html`<section><h2>${w.text('family.plan')}</h2>
<ul>${planLines(h, forecast).map((line) => html`<li>${bare(line)}</li>`)}</ul>
<p class="quiet">${w.text('family.terms')}</p></section>`;
}

const SHOWN_MAX = 12;

/** What was climbed, newest first: times and pitches, and no word of anybody. */
function progress(h: Home): Html | undefined {
  const { w, state } = h;
  const all = state.pitches.length;
  const done = state.pitches
    .flatMap((p) => (p.done === undefined ? [] : [{ n: p.number, atMs: p.done.atMs }]))
    .reverse()
    .slice(0, SHOWN_MAX);
  const lines = [
    ...(state.downAtMs === undefined
      ? []
      : [w.text('page.entryDown', { when: when(h, state.downAtMs) })]),
    ...done.map(({ n, atMs }) => w.text('family.entry', { when: when(h, atMs), n, all })),
  ];
  if (lines.length === 0) return undefined;
  return html`<section><h2>${w.text('family.progress')}</h2>
<ul>${lines.map((line) => html`<li>${line}</li>`)}</ul></section>`;
}

function still(page: FamilyPage, w: Words): Html {
  return page.still
    ? html`${w.text('family.still')} <a href="${linkTo(page, { still: false })}">${w.text('family.move')}</a>`
    : html`${w.text('family.moves')} <a href="${linkTo(page, { still: true })}">${w.text('family.makeStill')}</a>`;
}

/** Each other language by its own name, with what has to be known of it. */
function languageLinks(page: FamilyPage, w: Words): Html[] {
  return CODES.filter((code) => code !== w.language).map(
    (code) =>
      html`<span lang="${code}"><a href="${linkTo(page, { language: code })}">${LANGUAGES[code].name}</a>${LANGUAGES[code].unreviewed && html` ${LANGUAGES[code].unreviewed}`}</span>`,
  );
}

/** The same page with what was chosen on it, and one choice changed. */
function linkTo(
  { path, still: stands, clock: own, picked, w = ENGLISH }: FamilyPage,
  change: { still?: boolean; language?: string },
): string {
  const language = change.language ?? (picked === true ? w.language : undefined);
  const query = [
    ...((change.still ?? stands) ? ['still=1'] : []),
    ...(own !== undefined && 'zone' in own ? [`at=${encodeURIComponent(own.zone)}`] : []),
    ...(language === undefined ? [] : [`l=${language}`]),
  ];
  return query.length === 0 ? path : `${path}?${query.join('&')}`;
}
