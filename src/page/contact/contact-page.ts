import { numbersToCall } from '../../alarm/emergency.ts';
import { watched } from '../../alarm/expectations.ts';
import { phaseNow, reached } from '../../alarm/ladder.ts';
import { callScript } from '../../alarm/script.ts';
import { sheetOf } from '../../alarm/sheet.ts';
import { wordsOf } from '../../alarm/words/home.ts';
import { phaseMessage } from '../../alarm/words/phase.ts';
import { forReader } from '../../alarm/words/reader.ts';
import { standDownMessage } from '../../alarm/words/stand-down.ts';
import type { Forecast } from '../../forecast/model.ts';
import type { Button, Reply } from '../../say/reply.ts';
import { dayClock } from '../../time/format.ts';
import { isOver } from '../../trip/mode.ts';
import type { Person } from '../../trip/people.ts';
import type { TripState } from '../../trip/state.ts';
import { toldBy } from '../push/words.ts';
import { documentOf } from '../server/document.ts';
import { type Html, html } from '../server/html.ts';
import { answer, facts, telOf, timeline, todo } from '../server/status-page.ts';
import { calledOut } from '../server/steps.ts';
import { type FormContext, formOf } from './form.ts';
import { linesHtml } from './line.ts';

export interface ContactPage {
  state: TripState;
  person: Person;
  forecast: Forecast | undefined;
  nowMs: number;
  form: FormContext;
  /** Since when posts don't reach us; undefined while they do. */
  deafSinceMs?: number | undefined;
  /** Whether push messages can be turned on here. */
  push?: boolean;
  /** What came of the form that was just sent. */
  reply?: Reply | undefined;
}

/** Seconds after which the page is loaded anew. Never after a form was sent: it would be sent again. */
export const RELOAD_S = 120;

/** The entry that raised the alarm that stands; 0 for none. What a page offers belongs to it. */
export function alarmSeen(state: TripState): number {
  return phaseNow(state)?.seq ?? 0;
}

/** A contact's own page: what to do now first, then what is known, what comes next, and the record. */
export function contactPage(page: ContactPage): string {
  const { state, person, nowMs, form } = page;
  const status = { ...page, path: form.path, still: false };
  const alarmed = phaseNow(state) !== undefined;
  return documentOf({
    title: `${state.name}, ${dayClock(state.zone, nowMs, nowMs)}`,
    hours: state.settings.hours,
    body: html`<h1>${state.name}: for ${person.name}</h1>
${page.reply && replied(page, page.reply)}
${rehearsal(page)}
${standDown(page)}
${alarmed ? now(page) : undefined}
${answer(status, !alarmed)}
${heard(page)}
${todo(status)}
${alarmed ? undefined : facts(status)}
${timeline(status)}
${howTold(page)}
<section class="screen"><h2>The sheet for the rescue service</h2>
<p>It has names, ages, phone numbers and what they carry. That you opened it is written in the trip’s record.</p>
<p><a class="act" href="${form.path}/sheet">To the sheet</a></p></section>`,
    note: html`<p class="screen">This page is yours alone: what is sent from it goes into the record under your name. Don’t pass the link on.</p>`,
  });
}

/** By which ways they are told, and where to turn on one more. */
function howTold({ state, person, push, form }: ContactPage): Html {
  return html`<section class="screen"><h2>How you are told</h2>
<p>${toldBy(state, person)}</p>
${push === true && html`<p><a class="act" href="${form.path}/push">Messages on this device</a></p>`}
${
  watched(state) &&
  html`<p><a class="act" href="${form.path}/times.ics">Their times for your calendar</a></p>
<p class="quiet">Its alarms need neither us nor a network. Take it anew when a time has moved.</p>`
}</section>`;
}

function replied({ form }: ContactPage, reply: Reply): Html {
  return html`<section class="alarm" role="status">${linesHtml([...reply.lines, ...(reply.after ?? [])])}
${buttonsOf(form, reply.buttons ?? [])}
<p><a href="${form.path}">Back to what stands now</a></p></section>`;
}

/** The alarm as this person is told it, the number, the words to say, and what they can answer. */
function now({ state, person, nowMs, form }: ContactPage): Html | undefined {
  const raised = reached(state).get(person.id) ?? phaseNow(state);
  if (raised === undefined) return undefined;
  const h = { w: wordsOf(person), state, nowMs };
  const told = phaseMessage({ ...h, raised, to: person.id });
  const { subject, lines, buttons = [] } = forReader(h, person, told);
  const call = raised.phase === 'distress' && calledOut(state) === undefined;
  return html`<section class="alarm"><h2>${subject}</h2>
${call ? toCall(state) : undefined}
${linesHtml(lines)}
${call ? script(state, person, nowMs) : undefined}
${buttonsOf(form, buttons)}</section>`;
}

/** They were heard from, and nobody has said yet that the rescue service knows. */
function standDown({ state, person, nowMs, form }: ContactPage): Html | undefined {
  const h = { w: wordsOf(person), state, nowMs };
  const asked = standDownMessage(h, person.id);
  if (asked === undefined) return undefined;
  const { subject, lines, buttons = [] } = forReader(h, person, asked);
  return html`<section class="alarm"><h2>${subject}</h2>
${linesHtml(lines)}
${buttonsOf(form, buttons)}</section>`;
}

/** A rehearsal that waits for their answer. An alarm that stands is told below it. */
function rehearsal({ state, person, nowMs, form }: ContactPage): Html | undefined {
  const drill = state.watch.drills.findLast((d) => d.to === person.id);
  if (drill === undefined || drill.ackedAtMs !== undefined) return undefined;
  if (nowMs - drill.atMs > REHEARSED_MS) return undefined;
  const w = wordsOf(person);
  return html`<section class="alarm"><h2>${w.text('drill.subject', { trip: state.name })}</h2>
<p>${w.text('drill.page')}</p>
${formOf(form, { label: w.text('button.ack'), press: { path: 'overdue ack', options: { drill: true } } })}</section>`;
}

/** A rehearsal is told for a day. */
const REHEARSED_MS = 86_400_000;

/** The one large step. */
function toCall({ emergencyNumber: number }: TripState): Html | undefined {
  const calls = numbersToCall(number).flatMap((one) => {
    const href = telOf(one);
    return href === undefined
      ? []
      : [html`<p><a class="act call" href="${href}">Call ${one}</a></p>`];
  });
  return calls.length === 0 ? undefined : html`${calls}`;
}

function script(state: TripState, person: Person, nowMs: number): Html {
  return html`<h3>Read this out</h3>
<ol>${callScript(sheetOf(state, nowMs), person).map((line) => html`<li>${line}</li>`)}</ol>`;
}

/** What a contact may have learnt by themselves, at any time. */
function heard({ state, form }: ContactPage): Html | undefined {
  if (isOver(state) || state.departedAtMs === undefined) {
    return undefined;
  }
  return html`<section class="screen"><h2>I have heard from them</h2>
${formOf(form, { label: 'They are well', press: { path: 'checkin ok', options: {} } }, [
  {
    name: 'how',
    label: 'How you know',
    choices: [
      { value: 'reached', label: 'They called or wrote to me' },
      { value: 'radio', label: 'Somebody who is there told me' },
      { value: 'seen', label: 'I saw them' },
    ],
  },
  { name: 'at', label: 'When that was, by the wall’s clock; empty for now', placeholder: '14:20' },
  { name: 'words', label: 'What they said' },
])}
<p class="quiet">Is somebody hurt, or do they need help? Say so in the words: it is asked back.</p></section>`;
}

/** What a page says better by itself: a link for the sheet, a form for what was heard. */
const OWN_WAY = new Set(['overdue sheet', 'checkin ok']);

function buttonsOf(form: FormContext, buttons: readonly Button[]): Html[] {
  return buttons
    .filter(
      (b) =>
        !(
          b.press.path === 'overdue resolve' &&
          'how' in b.press.options &&
          b.press.options.how === 'fine'
        ),
    )
    .filter((b) => !OWN_WAY.has(b.press.path) || 'sure' in b.press.options)
    .map((b) => formOf(form, b, b.ask?.fields ?? []));
}
