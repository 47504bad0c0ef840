import { numbersToCall } from '../../alarm/emergency.ts';
import { lastSign } from '../../alarm/expectations.ts';
import { phaseNow, reached } from '../../alarm/ladder.ts';
import { hasInHand } from '../../alarm/repeats.ts';
import { FIELD } from '../../alarm/who.ts';
import { lastHeard } from '../../alarm/words/common.ts';
import { deafLine } from '../../alarm/words/deaf.ts';
import { calledOut } from '../../alarm/words/glance.ts';
import { importedLines } from '../../alarm/words/imported.ts';
import { heardWords, modeWords } from '../../alarm/words/mode.ts';
import { stepWords } from '../../alarm/words/step.ts';
import { standingLine } from '../../app/forecast/standing.ts';
import * as words from '../../app/words/forecast.ts';
import { laterWords, nextLead, nextWords } from '../../app/words/lead.ts';
import { silenceWords, topoutWords } from '../../app/words/topout.ts';
import type { Forecast } from '../../forecast/model.ts';
import { ENGLISH } from '../../say/contact/words.ts';
import { bare } from '../../say/message.ts';
import { dayClock, dayMonth, duration, WEEKDAYS } from '../../time/format.ts';
import { wallTime } from '../../time/zone.ts';
import { isOver, isPastTop, modeOf } from '../../trip/mode.ts';
import { isSplit } from '../../trip/parts.ts';
import { signWords } from '../../trip/signs.ts';
import { nameOf, type TripState } from '../../trip/state.ts';
import { altOf } from '../picture/alt.ts';
import { drawSvg } from '../picture/draw.ts';
import { VARIABLES } from '../picture/palette.ts';
import { sceneOf } from '../picture/scene-of.ts';
import { documentOf } from './document.ts';
import { type Html, html, unsafeHtml } from './html.ts';
import { nextWord, stepsOf } from './steps.ts';

export interface StatusPage {
  state: TripState;
  forecast: Forecast | undefined;
  nowMs: number;
  /** Path of this page, without a slash at its end. */
  path: string;
  /** The reader asked it to stand still. */
  still: boolean;
  /** Since when posts don't reach us; undefined while they do. */
  deafSinceMs?: number | undefined;
}

/** Seconds after which the page is loaded anew, unless the reader stopped it. */
export const REFRESH_S = 120;

/** The page for whoever waits at home: the answer first; what to do before all else when there is an alarm. */
export function statusPage(page: StatusPage): string {
  const { state, nowMs } = page;
  const over = isOver(state);
  const alarmed = phaseNow(state) !== undefined;
  const made = dayClock(state.zone, nowMs, nowMs);
  return documentOf({
    title: `${state.name}, ${made}`,
    hours: state.settings.hours,
    body: html`<h1>${state.name}</h1>
${answer(page)}
${over || !alarmed ? undefined : todo(page)}
${picture(page)}
${facts(page)}
${over || alarmed ? undefined : todo(page)}
${timeline(page)}
${sheetLink(page)}`,
    note: refreshNote(page),
  });
}

/** How they are as far as is known; with what stands, unless the reader was told it above. */
export function answer({ state, nowMs, deafSinceMs }: StatusPage, withAlarm = true): Html {
  const over = isOver(state);
  const deaf = !over && deafSinceMs !== undefined;
  return html`${withAlarm ? alarm(state, nowMs) : undefined}
${deaf ? html`<p class="lead">${bare(deafLine({ w: ENGLISH, state, nowMs }, deafSinceMs))}</p>` : undefined}
<p class="lead">${modeWords(state, nowMs)}</p>
${over ? undefined : html`<p>${heard(state, nowMs)}</p>`}
<p>${nextWord(state, nowMs)}</p>
${importedLines(state, nowMs).map((line) => html`<p>${line}</p>`)}
<p class="quiet">This page was made ${wallNow(state, nowMs)}. All times are the wall’s (${state.zone}).</p>`;
}

/** What stands, who was told and who has it in hand, and whether the rescue service was called. */
function alarm(state: TripState, nowMs: number): Html | undefined {
  const raised = phaseNow(state);
  if (raised === undefined) return undefined;
  const since = dayClock(state.zone, raised.dueMs, nowMs);
  const what =
    raised.root === 'callout'
      ? `The call-out time ${since} has passed`
      : raised.root === 'silence'
        ? `Nothing was heard by ${since}`
        : raised.root.startsWith('trouble:')
          ? `Trouble since ${since}`
          : `Overdue since ${since}`;
  const told = [...reached(state)].map(([group, r]) => {
    const name = group === FIELD ? 'the channel of the trip' : nameOf(state, group);
    return hasInHand(state, group, r, nowMs) ? `${name} (has it in hand)` : name;
  });
  const called = calledOut(state);
  return html`<section class="alarm"><h2>${what}</h2>
<p>Step: ${stepWords(raised)}. Told: ${told.join(', ')}. What to do stands below.</p>${
    called &&
    html`
<p>The rescue service was called; noted ${dayClock(state.zone, called.atMs, nowMs)} by ${called.by.name}.</p>`
  }</section>`;
}

function wallNow({ zone }: TripState, nowMs: number): string {
  const wall = wallTime(zone, nowMs);
  return `${WEEKDAYS[wall.weekday - 1]} ${dayMonth(wall)} ${dayClock(zone, nowMs, nowMs)}`;
}

/** After this long without a word what follows is guesswork, and is said to be. Engineering choice. */
const STALE_MIN = 180;

function heard(state: TripState, nowMs: number): string {
  if (isSplit(state)) return bare(lastHeard(state, nowMs));
  const sign = lastSign(state);
  if (sign === undefined) return 'Nothing was heard yet.';
  const agoMin = Math.max(0, (nowMs - sign.atMs) / 60_000);
  const told = dayClock(state.zone, sign.atMs, nowMs);
  const stale =
    agoMin > STALE_MIN ? ` Nothing newer is known; what follows is a projection from then.` : '';
  return `Last heard ${told}, ${duration(agoMin)} ago: ${heardWords(state, sign, nowMs)} (from ${sign.by.name}).${stale}`;
}

export function todo({ state, nowMs }: StatusPage): Html | undefined {
  const steps = stepsOf(state, nowMs);
  if (steps.length === 0) return undefined;
  const title = phaseNow(state) === undefined ? 'What to do if nothing is heard' : 'What to do now';
  return html`<section><h2>${title}</h2>
<ol>${steps.map(
    (s) =>
      html`<li${s.due ? unsafeHtml(' class="due"') : ''}>${s.due ? 'Now, since' : 'From'} ${s.at}: ${s.words}</li>`,
  )}</ol>
${emergencyNumber(state)}</section>`;
}

function emergencyNumber({ emergencyNumber: number }: TripState): Html | undefined {
  if (number === undefined) return undefined;
  const all = numbersToCall(number).map((one) => {
    const href = telOf(one);
    return href === undefined ? html`${one}` : html`<a href="${href}">${one}</a>`;
  });
  return html`<p>Emergency number: ${all.map((one, i) => (i === 0 ? one : html`, ${one}`))}</p>`;
}

/** A number to be tapped (RFC 3966), when it is a number and nothing else. */
export function telOf(number: string): string | undefined {
  return /^\+?[\d\s-]+$/u.test(number) ? `tel:${number.replace(/[\s-]/gu, '')}` : undefined;
}

function picture({ state, forecast, nowMs }: StatusPage): Html | undefined {
  if (state.pitches.length === 0) return undefined;
  // Title and answer stand in the page already.
  const scene = { ...sceneOf(state, forecast, nowMs), answer: [], title: '' };
  const svg = drawSvg(scene, { palette: VARIABLES, alt: altOf({ ...scene, title: state.name }) });
  return html`<section class="picture"><h2>Height against time</h2>
<figure>${unsafeHtml(svg)}</figure></section>`;
}

export function facts({ state, forecast, nowMs }: StatusPage): Html | undefined {
  const over = isOver(state);
  if (over || modeOf(state, nowMs).is === 'retreating') return undefined;
  const next = nextWords(state);
  const later = laterWords(state, nextLead(state)?.later ?? [], 3);
  const lines = [
    next === '' ? undefined : `${next}${later === '' ? '' : ` Then: ${later}.`}`,
    forecast && standingLine(state, forecast, nowMs),
    forecast && !isPastTop(state) ? topoutWords(state, forecast, nowMs) : undefined,
    forecast && `Back at the trailhead ${words.spanWords(state, forecast.trailhead, nowMs)}.`,
    ...(forecast === undefined
      ? []
      : words.bounds(state, forecast).map((b) => words.boundWords(state, b, b.binds, nowMs))),
    forecast && silenceWords(state, forecast, nowMs),
    forecast && words.nightWords(state, forecast, nowMs),
    forecast && `${words.CAUTION} Cautious times hold 9 times in 10; a later one is no alarm.`,
  ];
  const said = lines.filter((line) => line !== undefined);
  if (said.length === 0) return undefined;
  return html`<section><h2>How it goes</h2>
<ul>${said.map((line) => html`<li>${line}</li>`)}</ul></section>`;
}

const SHOWN_MAX = 60;
/** On paper the newest are enough; the sheet has the rest. */
const PRINTED_MAX = 10;

export function timeline({ state, nowMs }: StatusPage): Html | undefined {
  const signs = [...state.watch.signs].reverse().slice(0, SHOWN_MAX);
  if (signs.length === 0) return undefined;
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  return html`<section><h2>What was heard, newest first</h2>
<ul>${state.downAtMs !== undefined && html`<li>${at(state.downAtMs)}: everyone down</li>`}${signs.map(
    (s, i) => {
      const late = s.recordedAtMs - s.atMs < 60_000 ? '' : `, told ${at(s.recordedAtMs)}`;
      return html`<li${i < PRINTED_MAX ? '' : unsafeHtml(' class="old"')}>${at(s.atMs)}: ${signWords(state, s)} (${s.by.name}${late})</li>`;
    },
  )}</ul></section>`;
}

function sheetLink({ path }: StatusPage): Html {
  return html`<section class="screen"><h2>The sheet for the rescue service</h2>
<p>It has names, ages, phone numbers and what they carry. Opening it is written in the trip’s record, where the party sees it.</p>
<p><a class="act" href="${path}/sheet">To the sheet</a></p></section>`;
}

function refreshNote({ still, path }: StatusPage): Html {
  return still
    ? html`<p class="screen">This page stands still. <a href="${path}">Load it anew every two minutes</a></p>`
    : html`<p class="screen">This page is loaded anew every two minutes. <a href="${path}?still=1">Make it stand still</a></p>`;
}
