import { numbersToCall } from '../../alarm/emergency.ts';
import { lastSign } from '../../alarm/expectations.ts';
import { PHASES, phaseNow, phaseTimes, rankOf } from '../../alarm/ladder.ts';
import { reachable } from '../../alarm/who.ts';
import { deafLine } from '../../alarm/words/deaf.ts';
import { calledOut, nextWordIn, standsIn } from '../../alarm/words/glance.ts';
import { signIn } from '../../alarm/words/heard.ts';
import { type Home, lastHeardIn, namesIn, numberIn, when } from '../../alarm/words/home.ts';
import { modeIn } from '../../alarm/words/mode-home.ts';
import { bothTimes } from '../../alarm/words/reader.ts';
import { saidMs } from '../../app/words/topout.ts';
import type { Forecast } from '../../forecast/model.ts';
import type { Line } from '../../say/reply.ts';
import { dayMonthIn, weekdayIn } from '../../time/in-language.ts';
import { wallTime } from '../../time/zone.ts';
import { isOver, isPastTop, modeOf } from '../../trip/mode.ts';
import type { Person } from '../../trip/people.ts';
import { type Html, html, unsafeHtml } from '../server/html.ts';
import { telOf } from '../server/status-page.ts';
import { lineHtml } from './line.ts';

/** After this long without a word what follows is guesswork, and is said to be. Engineering choice. */
const STALE_MIN = 180;
const SHOWN_MAX = 60;
/** On paper the newest are enough; the sheet has the rest. */
const PRINTED_MAX = 10;

/** Somebody who reads about their own part in it. */
type Reader = Home & { person: Pick<Person, 'id'> };

const paragraph = (line: Line): Html => html`<p>${lineHtml(line)}</p>`;

/** How they are as far as is known. */
export function known(h: Home, deafSinceMs: number | undefined, withAlarm: boolean): Html {
  const { w, state, nowMs, own } = h;
  const over = isOver(state);
  const sign = lastSign(state);
  const stale = !over && sign !== undefined && nowMs - sign.atMs > STALE_MIN * 60_000;
  const wall = wallTime(state.zone, nowMs);
  const day = `${weekdayIn(w.language, wall)} ${dayMonthIn(w.language, wall)}`;
  const made = `${day} ${when({ ...h, own: undefined }, nowMs).text}`;
  return html`${withAlarm ? alarm(h) : undefined}
${over || deafSinceMs === undefined ? undefined : html`<p class="lead">${lineHtml(deafLine(h, deafSinceMs))}</p>`}
<p class="lead">${lineHtml(modeIn(h))}</p>
${over ? undefined : paragraph(lastHeardIn(h))}
${stale ? paragraph(w.say('page.stale')) : undefined}
${paragraph(nextWordIn(h))}
${state.imported === undefined ? undefined : paragraph(w.say('page.imported', { by: state.imported.by.name }))}
<p class="quiet">${
    own === undefined
      ? w.text('page.made', { when: made, zone: state.zone })
      : w.text('page.madeBoth', { when: bothTimes(h, own, nowMs, made), zone: state.zone, own })
  }</p>`;
}

/** What stands, who was told and who has it in hand, and whether the rescue service was called. */
export function alarm(h: Home): Html | undefined {
  const [what, ...about] = standsIn(h);
  if (what === undefined) return undefined;
  return html`<section class="alarm"><h2>${lineHtml(what)}</h2>
${about.map(paragraph)}</section>`;
}

/** What to do when, should nothing be heard: one step a phase; once the rescue service was called, what is left. */
export function todo(h: Reader): Html | undefined {
  const { w, state, nowMs } = h;
  const steps = stepsOf(h);
  if (steps.length === 0) return undefined;
  const numbers = numbersToCall(state.emergencyNumber).map((one) => {
    const href = telOf(one);
    return href === undefined ? html`${one}` : html`<a href="${href}">${one}</a>`;
  });
  return html`<section><h2>${w.text(phaseNow(state) === undefined ? 'page.whatIf' : 'page.whatNow')}</h2>
<ol>${steps.map(({ atMs, what }) => {
    const due = atMs <= nowMs;
    const said = { when: when(h, atMs), what };
    return html`<li${due ? unsafeHtml(' class="due"') : ''}>${lineHtml(w.say(due ? 'page.stepNow' : 'page.stepFrom', said))}</li>`;
  })}</ol>
${
  numbers.length === 0
    ? undefined
    : html`<p>${w.text('page.number')} ${numbers.map((one, i) => (i === 0 ? one : html`, ${one}`))}</p>`
}</section>`;
}

function stepsOf(h: Reader): { atMs: number; what: Line }[] {
  const { w, state, person } = h;
  const called = calledOut(state);
  if (called !== undefined) return [{ atMs: called.atMs, what: w.say('step.called') }];
  const all = phaseTimes(state);
  const now = rankOf(phaseNow(state)?.phase);
  // To whoever reads it, they are "you".
  const [first, ...others] = reachable(state).map(({ id, name }) => ({
    name: id === person.id ? w.text('step.you') : name,
  }));
  const contact = first?.name ?? w.text('step.contact');
  const number = numberIn(w, state);
  return PHASES.flatMap((phase) => {
    const here = all.filter((r) => r.phase === phase);
    if (here.length === 0 || rankOf(phase) < now) return [];
    const atMs = Math.min(...here.map((r) => r.atMs));
    const silent = here.every((r) => r.root.kind === 'silence');
    const what = ((): Line => {
      if (silent) return w.say('step.silence', { number });
      if (phase === 'due') return w.say('step.due');
      if (phase === 'uncertainty') return w.say('step.uncertainty', { who: contact });
      return phase === 'alert'
        ? w.say('step.alert', { who: namesIn(w, [{ name: contact }, ...others]) })
        : w.say('step.distress', { number });
    })();
    return [{ atMs, what }];
  }).sort((a, b) => a.atMs - b.atMs);
}

/** When they are likely on top and back, in plain words: pitches and leads are the party's own. */
export function outlook(h: Home, forecast: Forecast | undefined): Html | undefined {
  const { w, state, nowMs } = h;
  if (forecast === undefined || isOver(state) || modeOf(state, nowMs).is === 'retreating') {
    return undefined;
  }
  const span = ({ q50, q90 }: Forecast['topout']) =>
    Number.isFinite(q50) && Number.isFinite(q90)
      ? { likely: when(h, saidMs(state, q50)), late: when(h, saidMs(state, q90)) }
      : undefined;
  const top = isPastTop(state) ? undefined : span(forecast.topout);
  const back = span(forecast.trailhead);
  if (top === undefined && back === undefined) return undefined;
  return html`<section><h2>${w.text('page.howItGoes')}</h2>
<ul>${top && html`<li>${lineHtml(w.say('page.forecastTop', top))}</li>`}${back && html`<li>${lineHtml(w.say('page.forecastBack', back))}</li>`}</ul>
${paragraph(w.say('page.forecastNote'))}</section>`;
}

/** What was heard, newest first. */
export function timeline(h: Home): Html | undefined {
  const { w, state } = h;
  const signs = [...state.watch.signs].reverse().slice(0, SHOWN_MAX);
  if (signs.length === 0) return undefined;
  const { downAtMs } = state;
  return html`<section><h2>${w.text('page.timeline')}</h2>
<ul>${
    downAtMs !== undefined &&
    html`<li>${lineHtml(w.say('page.entryDown', { when: when(h, downAtMs) }))}</li>`
  }${signs.map((s, i) => {
    const said = { when: when(h, s.atMs), what: signIn(w, state, s), by: s.by.name };
    const line =
      s.recordedAtMs - s.atMs < 60_000
        ? w.say('page.entry', said)
        : w.say('page.entryTold', { ...said, told: when(h, s.recordedAtMs) });
    return html`<li${i < PRINTED_MAX ? '' : unsafeHtml(' class="old"')}>${lineHtml(line)}</li>`;
  })}</ul></section>`;
}
