import { numbersToCall } from '../../alarm/emergency.ts';
import { watched } from '../../alarm/expectations.ts';
import { phaseNow, reached } from '../../alarm/ladder.ts';
import { callScript } from '../../alarm/script.ts';
import { waysOf } from '../../alarm/who.ts';
import { calledOut } from '../../alarm/words/glance.ts';
import { type Home, hoursFor, when } from '../../alarm/words/home.ts';
import { phaseMessage } from '../../alarm/words/phase.ts';
import { forReader, ownZone } from '../../alarm/words/reader.ts';
import { standDownMessage } from '../../alarm/words/stand-down.ts';
import type { Forecast } from '../../forecast/model.ts';
import { CODES, LANGUAGES } from '../../say/contact/languages.ts';
import { ENGLISH, type Words } from '../../say/contact/words.ts';
import type { Button, Reply } from '../../say/reply.ts';
import { isOver } from '../../trip/mode.ts';
import type { Person } from '../../trip/people.ts';
import { present, type TripState } from '../../trip/state.ts';
import { toldBy } from '../push/words.ts';
import { documentOf } from '../server/document.ts';
import { type Html, html } from '../server/html.ts';
import { telOf } from '../server/status-page.ts';
import { type FormContext, formOf } from './form.ts';
import { alarm, known, outlook, timeline, todo } from './known.ts';
import { linesHtml } from './line.ts';

export interface ContactPage {
  /** What they read. */
  w: Words;
  state: TripState;
  person: Person;
  forecast: Forecast | undefined;
  nowMs: number;
  form: FormContext;
  /** Since when posts don't reach us; undefined while they do. */
  deafSinceMs?: number | undefined;
  /** Whether push messages can be turned on here. */
  push?: boolean;
  /** Whether messages by ntfy can be turned on here. */
  ntfy?: boolean;
  /** What came of the form that was just sent. */
  reply?: Reply | undefined;
}

/** The same, with the reader's own zone where it is known and is not the wall's. */
type Shown = ContactPage & { own: string | undefined };

/** Seconds after which the page is loaded anew. Never after a form was sent: it would be sent again. */
export const RELOAD_S = 120;

/** The entry that raised the alarm that stands; 0 for none. What a page offers belongs to it. */
export function alarmSeen(state: TripState): number {
  return phaseNow(state)?.seq ?? 0;
}

/** A contact's own page: what to do now first, then what is known, what comes next, and the record. */
export function contactPage(given: ContactPage): string {
  const { w, state, person, nowMs, form } = given;
  const page = { ...given, own: ownZone(state, person, nowMs) };
  const alarmed = phaseNow(state) !== undefined;
  return documentOf({
    w,
    title: w.text('page.title', { trip: state.name, when: when(given, nowMs) }),
    hours: hoursFor(state, person),
    body: html`<h1>${w.text('page.head', { trip: state.name, name: person.name })}</h1>
${page.reply && replied(page, page.reply)}
${rehearsal(page)}
${standDown(page)}
${alarmed ? now(page) : undefined}
${known(page, page.deafSinceMs, !alarmed)}
${heard(page)}
${todo(page)}
${alarmed ? undefined : outlook(page, page.forecast)}
${timeline(page)}
${howTold(page)}
<section class="screen"><h2>${w.text('page.sheet')}</h2>
<p>${w.text('page.sheetHas')}</p>
<p><a class="act" href="${form.path}/sheet">${w.text('page.toSheet')}</a></p></section>
${clock(given)}
${languages(w, form)}`,
    note: html`<p class="screen">${w.text('page.yours')}</p>`,
  });
}

/** By which ways they are told, and where to turn on one more. */
function howTold({ w, state, person, push, ntfy, form }: ContactPage): Html {
  return html`<section class="screen"><h2>${w.text('page.howTold')}</h2>
<p>${toldBy(w, state, person)}</p>
${push === true && html`<p><a class="act" href="${form.path}/push">${w.text('page.toPush')}</a></p>`}
${ntfy === true && html`<p><a class="act" href="${form.path}/ntfy">${w.text('page.toNtfy')}</a></p>`}
${waysOf(state, person).length > 1 && html`<p><a class="act" href="${form.path}/ways">${w.text('page.toWays')}</a></p>`}
${
  watched(state) &&
  html`<p><a class="act" href="${form.path}/times.ics">${w.text('page.toCalendar')}</a></p>
<p class="quiet">${w.text('page.calendarAlone')}</p>`
}</section>`;
}

/** The path that the form carries; no command has such a one. */
export const CLOCK = 'clock own';

/** Where they say by which clock they live: what a browser doesn't say without a script. */
function clock({ w, person, form }: ContactPage): Html {
  return html`<section class="screen"><h2>${w.text('page.clock')}</h2>
${formOf(form, { label: w.text('family.show'), press: { path: CLOCK, options: {} } }, [
  {
    name: 'at',
    label: w.text('family.city'),
    placeholder: w.text('family.cityLike'),
    value: person.zone,
  },
])}</section>`;
}

/** Each other language by its own name, with what has to be known of it before it is picked. */
export function languages(w: Words, form: FormContext, code?: string): Html {
  const others = CODES.filter((language) => language !== w.language);
  const proof = code === undefined ? {} : { code };
  return html`<section class="screen"><h2>${w.text('page.language')}</h2>
${others.map(
  (language) => html`<div lang="${language}">${formOf(form, {
    label: LANGUAGES[language].name,
    press: { path: 'checkin contact', options: { answer: language, ...proof } },
  })}
${LANGUAGES[language].unreviewed && html`<p class="quiet">${LANGUAGES[language].unreviewed}</p>`}</div>`,
)}</section>`;
}

function replied({ w, state, person, nowMs, form }: ContactPage, reply: Reply): Html {
  const said = [...reply.lines, ...(reply.after ?? [])];
  // Which clock is whose stands below.
  const { lines } = forReader({ w, state, nowMs }, person, { subject: '', lines: said });
  return html`<section class="alarm" role="status">${linesHtml(lines.slice(0, said.length))}
${buttonsOf(form, reply.buttons ?? [])}
<p><a href="${form.path}">${w.text('page.back')}</a></p></section>`;
}

/** The alarm as this person is told it, the number, the words to say, and what they can answer. */
function now({ w, state, person, nowMs, own, form }: Shown): Html | undefined {
  const raised = reached(state).get(person.id) ?? phaseNow(state);
  if (raised === undefined) return undefined;
  const h = { w, state, nowMs, own };
  const {
    subject,
    lines,
    buttons = [],
  } = forReader(h, person, phaseMessage({ ...h, raised, to: person.id }));
  // Once somebody has called, nobody is told to call: what is left to do stands below.
  if (calledOut(state) !== undefined) {
    const left = buttons.filter(({ press }) => press.path === 'trouble over');
    return html`${alarm(h)}${left.length === 0 ? undefined : html`<section>${buttonsOf(form, left)}</section>`}`;
  }
  const call = raised.phase === 'distress';
  const [first, ...rest] = lines;
  return html`<section class="alarm"><h2>${subject}</h2>
${call ? toCall(h) : undefined}
${first === undefined ? undefined : linesHtml([first])}
${call ? undefined : toRing(h)}
${linesHtml(rest)}
${call ? script(h, person) : undefined}
${buttonsOf(form, buttons)}</section>`;
}

/** They were heard from, and nobody has said yet that the rescue service knows. */
function standDown({ w, state, person, nowMs, form }: ContactPage): Html | undefined {
  const h = { w, state, nowMs };
  const asked = standDownMessage(h, person.id);
  if (asked === undefined) return undefined;
  const { subject, lines, buttons = [] } = forReader(h, person, asked);
  return html`<section class="alarm"><h2>${subject}</h2>
${linesHtml(lines)}
${buttonsOf(form, buttons)}</section>`;
}

/** A rehearsal that waits for their answer. An alarm that stands is told below it. */
function rehearsal({ w, state, person, nowMs, form }: ContactPage): Html | undefined {
  const drill = state.watch.drills.findLast((d) => d.to === person.id);
  if (drill === undefined || drill.ackedAtMs !== undefined) return undefined;
  if (nowMs - drill.atMs > REHEARSED_MS) return undefined;
  return html`<section class="alarm"><h2>${w.text('drill.subject', { trip: state.name })}</h2>
<p>${w.text('drill.page')}</p>
${formOf(form, { label: w.text('button.ack'), press: { path: 'overdue ack', options: { drill: true } } })}</section>`;
}

/** A rehearsal is told for a day. */
const REHEARSED_MS = 86_400_000;

/** The one large step. */
function toCall({ w, state: { emergencyNumber: number } }: Home): Html | undefined {
  const calls = numbersToCall(number).flatMap((one) => {
    const href = telOf(one);
    const label = w.text('page.call', { number: one });
    return href === undefined ? [] : [html`<p><a class="act call" href="${href}">${label}</a></p>`];
  });
  return calls.length === 0 ? undefined : html`${calls}`;
}

/** The one large step before it is time for that: the party, else the ground crew, at the numbers that were given. */
function toRing({ w, state }: Home): Html | undefined {
  const links = (role: 'climber' | 'ground') =>
    present(state).flatMap(({ name, phone, roles }) => {
      const href = phone === undefined || !roles.includes(role) ? undefined : telOf(phone);
      return href === undefined ? [] : [{ name, href }];
    });
  const [party, ground] = [links('climber'), links('ground')];
  const all = (party.length === 0 ? ground : party).map(
    ({ name, href }, i) =>
      html`<p><a class="act${i === 0 ? ' call' : ''} screen" href="${href}">${w.text('page.ring', { name })}</a></p>`,
  );
  return all.length === 0 ? undefined : html`${all}`;
}

/** The words to say, and the same in English for who reads another language: the wall may be far away. */
function script(h: Home, person: Person): Html {
  const own = callScript(h, person);
  const english = h.w.language === 'en' ? undefined : callScript({ ...h, w: ENGLISH }, person);
  return html`<h3>${h.w.text('page.readOut')}</h3>
<ol>${own.map((line) => html`<li>${line}</li>`)}</ol>
${
  english &&
  html`<details><summary>${h.w.text('page.readOutEnglish')}</summary><ol lang="en">${english.map((line) => html`<li>${line}</li>`)}</ol></details>`
}`;
}

/** What a contact may have learnt by themselves, at any time. */
function heard({ w, state, form }: ContactPage): Html | undefined {
  if (isOver(state) || state.departedAtMs === undefined) {
    return undefined;
  }
  const button = { label: w.text('page.theyAreWell'), press: OK } as const;
  return html`<section class="screen"><h2>${w.text('page.heard')}</h2>
${formOf(form, button, [
  {
    name: 'how',
    label: w.text('page.howKnown'),
    choices: [
      { value: 'reached', label: w.text('page.howReached') },
      { value: 'radio', label: w.text('page.howRadio') },
      { value: 'seen', label: w.text('page.howSeen') },
    ],
  },
  { name: 'at', label: w.text('page.whenHeard'), placeholder: '14:20' },
  { name: 'words', label: w.text('page.whatSaid') },
])}
<p class="quiet">${w.text('page.hurt')}</p></section>`;
}

const OK = { path: 'checkin ok', options: {} } as const;

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
