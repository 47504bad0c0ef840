import { reachable } from '../../alarm/who.ts';
import { modeWords } from '../../alarm/words/mode.ts';
import { forReader } from '../../alarm/words/reader.ts';
import * as words from '../../app/words/forecast.ts';
import { dayLines } from '../../app/words/plan.ts';
import { isBranched, topoutWords } from '../../app/words/topout.ts';
import type { Forecast } from '../../forecast/model.ts';
import { ENGLISH } from '../../say/contact/words.ts';
import type { Line } from '../../say/reply.ts';
import { clock, dayClock, dayMonth, offset, WEEKDAYS } from '../../time/format.ts';
import { wallTime } from '../../time/zone.ts';
import { isOver, isPastTop, modeOf } from '../../trip/mode.ts';
import { publicState } from '../../trip/public.ts';
import type { TripState } from '../../trip/state.ts';
import { linesHtml } from '../contact/line.ts';
import { documentOf } from '../server/document.ts';
import { type Html, html } from '../server/html.ts';
import { alarmLines, heardLines, silentLine, TERMS } from './words.ts';

export interface FamilyPage {
  state: TripState;
  forecast: Forecast | undefined;
  nowMs: number;
  /** Path of this page, without a slash at its end. */
  path: string;
  /** The reader's own clock: an IANA zone, or what they typed that names none. */
  clock?: { zone: string } | { unread: string; may: readonly string[] } | undefined;
  still: boolean;
}

/** The page for who waits with the party's people: how it goes, and nothing that is private. */
export function familyPage(page: FamilyPage): string {
  const { forecast, nowMs } = page;
  // Everything below is worked out of this, so what isn't in it can't be shown.
  const state = publicState(page.state);
  const contacts = reachable(page.state).map(({ name }) => ({ name }));
  const over = isOver(state);
  const alarm = alarmLines(state, contacts, nowMs);
  const reader = page.clock !== undefined && 'zone' in page.clock ? page.clock : {};
  const read = (lines: readonly Line[]) =>
    // Which clock is whose is said once, below.
    linesHtml(
      forReader({ w: ENGLISH, state, nowMs }, reader, { subject: '', lines }).lines.slice(
        0,
        lines.length,
      ),
    );
  return documentOf({
    title: `${state.name}, ${dayClock(state.zone, nowMs, nowMs)}`,
    hours: state.settings.hours,
    body: html`<h1>${state.name}</h1>
${alarm && html`<section class="alarm"><h2>${alarm.title}</h2>${read(alarm.lines)}</section>`}
<p class="lead">${modeWords(state, nowMs)}</p>
${read(heardLines(state, nowMs))}
${over || alarm !== undefined ? undefined : html`<p>${silentLine(contacts)}</p>`}
${clocks(page, state)}
${over || alarm !== undefined ? undefined : plan(state, forecast, nowMs)}
${progress(state, nowMs)}`,
    note: html`<p class="screen">Whoever has this link can read this page. ${still(page)}</p>`,
  });
}

/** What time it is at the wall and with the reader, side by side, and where they say where they are. */
function clocks({ nowMs, path, clock: own, still: stands }: FamilyPage, state: TripState): Html {
  const wall = wallTime(state.zone, nowMs);
  const now = `It is ${WEEKDAYS[wall.weekday - 1]} ${dayMonth(wall)} ${clock(state.zone, nowMs)} at the wall (UTC${offset(wall)})`;
  const yours =
    own !== undefined && 'zone' in own
      ? `, and ${WEEKDAYS[wallTime(own.zone, nowMs).weekday - 1]} ${clock(own.zone, nowMs)} with you (${own.zone})`
      : '';
  const which = yours === '' ? 'Times are the wall’s.' : 'Times are the wall’s; in brackets yours.';
  return html`<p class="quiet">${now}${yours}. ${which}</p>
<form class="screen" method="get" action="${path}">
${
  own !== undefined &&
  'unread' in own &&
  html`<p role="alert">“${own.unread}” names no one place we know.${own.may.length === 0 ? '' : ` Did you mean ${own.may.slice(0, 5).join(', ')}?`}</p>`
}
${stands && html`<input type="hidden" name="still" value="1">`}
<p><label>See times by your own clock as well: a large city near you<br><input name="at" maxlength="60" autocomplete="off" value="${own === undefined ? '' : 'zone' in own ? own.zone : own.unread}" placeholder="London"></label></p>
<button class="act" type="submit">Show my time</button></form>`;
}

function plan(state: TripState, forecast: Forecast | undefined, nowMs: number): Html | undefined {
  if (forecast === undefined || modeOf(state, nowMs).is === 'retreating') return undefined;
  const lines = [
    ...dayLines(state, forecast, nowMs),
    ...(isPastTop(state) || !isBranched(forecast) ? [] : [topoutWords(state, forecast, nowMs)]),
    `Back at the trailhead ${words.spanWords(state, forecast.trailhead, nowMs)}.`,
  ];
  return html`<section><h2>The plan, by the wall’s clock</h2>
<ul>${lines.map((line) => html`<li>${line}</li>`)}</ul>
<p class="quiet">${TERMS}</p></section>`;
}

const SHOWN_MAX = 12;

/** What was climbed, newest first: times and pitches, and no word of anybody. */
function progress(state: TripState, nowMs: number): Html | undefined {
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  const done = state.pitches
    .flatMap((p) => (p.done === undefined ? [] : [{ number: p.number, atMs: p.done.atMs }]))
    .reverse()
    .slice(0, SHOWN_MAX);
  const lines = [
    ...(state.downAtMs === undefined ? [] : [`${at(state.downAtMs)}: everyone down`]),
    ...done.map((p) => `${at(p.atMs)}: pitch ${p.number} of ${state.pitches.length} done`),
  ];
  if (lines.length === 0) return undefined;
  return html`<section><h2>What they have done, newest first</h2>
<ul>${lines.map((line) => html`<li>${line}</li>`)}</ul></section>`;
}

function still({ still: stands, path, clock: own }: FamilyPage): Html {
  const at = own !== undefined && 'zone' in own ? `at=${encodeURIComponent(own.zone)}` : '';
  return stands
    ? html`It stands still. <a href="${path}${at === '' ? '' : `?${at}`}">Load it anew every two minutes</a>`
    : html`It is loaded anew every two minutes. <a href="${path}?still=1${at === '' ? '' : `&${at}`}">Make it stand still</a>`;
}
