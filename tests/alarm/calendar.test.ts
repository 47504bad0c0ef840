/** Files read back by ical.js, an independent parser of RFC 5545. */
import ICAL from 'ical.js';
import { describe, expect, it } from 'vitest';
import { calendarFile } from '../../src/alarm/calendar.ts';
import { DAWN_MS, departed, HOUR, opened } from './trip.ts';

const options = { nowMs: DAWN_MS, organizer: 'watch@example.org' };

function read(state: Parameters<typeof calendarFile>[0]) {
  const text = calendarFile(state, options) ?? '';
  const calendar = new ICAL.Component(ICAL.parse(text));
  const zones = calendar.getAllSubcomponents('vtimezone');
  const events = calendar.getAllSubcomponents('vevent').map((c) => new ICAL.Event(c));
  return {
    text,
    calendar,
    zones,
    events,
    by: (id: string) => events.find((e) => e.uid.includes(id)),
  };
}

describe('the calendar file', () => {
  it('holds what RFC 5545 and RFC 5546 require of a published calendar', () => {
    const { text, calendar, events } = read(departed().state);
    // 3.6: PRODID and VERSION; RFC 5546, 3.2.1: METHOD, ORGANIZER, and no ATTENDEE.
    expect(calendar.getFirstPropertyValue('version')).toBe('2.0');
    expect(calendar.getFirstPropertyValue('prodid')).toMatch(/tagline/);
    expect(calendar.getFirstPropertyValue('method')).toBe('PUBLISH');
    for (const { component } of events) {
      for (const name of ['uid', 'dtstamp', 'dtstart', 'summary', 'organizer', 'sequence']) {
        expect(component.hasProperty(name), name).toBe(true);
      }
      expect(component.hasProperty('attendee')).toBe(false);
      // 3.8.7.2: DTSTAMP is in UTC.
      expect(component.getFirstProperty('dtstamp')?.toICALString()).toMatch(/Z$/);
    }
    // 3.1: lines of 75 octets at most, ended by CRLF.
    const lines = text.split('\r\n');
    expect(Math.max(...lines.map((l) => Buffer.byteLength(l)))).toBeLessThanOrEqual(75);
    expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
  });

  it('names its zone and defines it, so that every time is the instant that was agreed', () => {
    const { zones, by } = read(departed().state);
    // 3.6.5 with 3.2.19: a TZID that is used has its VTIMEZONE, under the same name.
    expect(zones.map((z) => z.getFirstPropertyValue('tzid'))).toEqual(['Europe/Oslo']);
    const zone = new ICAL.Timezone(zones[0] as InstanceType<typeof ICAL.Component>);
    const instant = (id: string) => {
      const start = by(id)?.startDate.clone();
      if (start === undefined) return 0;
      start.zone = zone;
      return start.toUnixTime() * 1000;
    };
    expect(by('down')?.component.getFirstProperty('dtstart')?.getParameter('tzid')).toBe(
      'Europe/Oslo',
    );
    expect(instant('down')).toBe(DAWN_MS + 16 * HOUR);
    expect(instant('callout')).toBe(DAWN_MS + 20 * HOUR);
  });

  it.each(['Europe/Oslo', 'America/Los_Angeles', 'Asia/Kathmandu', 'Australia/Lord_Howe'])(
    'defines %s under its own name',
    (zone) => {
      const { state } = departed();
      const { zones } = read({ ...state, zone });
      expect(zones.map((z) => z.getFirstPropertyValue('tzid'))).toEqual([zone]);
    },
  );

  it.each(['UTC', 'Etc/GMT+12'])(
    'writes times of %s, which has no rules, in UTC or defines it',
    (zone) => {
      const { state } = departed();
      const { zones, by } = read({ ...state, zone });
      const start = by('down')?.component.getFirstProperty('dtstart')?.toICALString();
      if (zones.length === 0) expect(start).toBe('DTSTART:20310612T200000Z');
      else expect(start).toBe(`DTSTART;TZID=${zone}:20310612T080000`);
    },
  );

  it('rings half an hour before the due time and the call-out time, and at them', () => {
    const { events } = read(departed().state);
    for (const { component } of events) {
      const alarms = component.getAllSubcomponents('valarm');
      const triggers = alarms.map((a) => a.getFirstPropertyValue('trigger')?.toString());
      expect(triggers).toEqual(['-PT30M', 'PT0S']);
      for (const alarm of alarms) {
        // 3.6.6, "dispprop": ACTION, DESCRIPTION and TRIGGER are required and come once each; DURATION and REPEAT
        // come together or not at all (compared with that text as public readers of RFC 5545 quote it).
        expect(alarm.getFirstPropertyValue('action')).toBe('DISPLAY');
        expect(alarm.getFirstPropertyValue('description')).toBeTruthy();
        for (const name of ['action', 'description', 'trigger'])
          expect(alarm.getAllProperties(name), name).toHaveLength(1);
        expect(alarm.hasProperty('duration')).toBe(alarm.hasProperty('repeat'));
        // 3.8.6.3: a trigger is a duration, related to the start unless it says otherwise.
        const trigger = alarm.getFirstProperty('trigger');
        expect(trigger?.type).toBe('duration');
        expect(trigger?.getParameter('related') ?? 'START').toBe('START');
      }
    }
  });

  it('keeps the UID and raises SEQUENCE when a time moves', () => {
    const story = departed();
    const before = read(story.state).by('callout');
    story.tell({ kind: 'watch.planned', data: { calloutMs: DAWN_MS + 22 * HOUR } });
    const after = read(story.state).by('callout');
    expect(after?.uid).toBe(before?.uid);
    expect(after?.sequence).toBeGreaterThan(before?.sequence ?? 0);
    expect(after?.startDate.hour).toBe(4);
  });

  it('cancels with METHOD and STATUS once everyone is down', () => {
    const { calendar, events } = read(
      departed().tell({ kind: 'trip.down', at: DAWN_MS + HOUR }).state,
    );
    expect(calendar.getFirstPropertyValue('method')).toBe('CANCEL');
    expect(events).toHaveLength(2);
    for (const { component } of events) {
      expect(component.getFirstPropertyValue('status')).toBe('CANCELLED');
      expect(component.getAllSubcomponents('valarm')).toEqual([]);
    }
  });

  it('sends a promise that was taken back as cancelled', () => {
    const story = departed().tell({ kind: 'watch.promised', data: { dueMs: DAWN_MS + 6 * HOUR } });
    const seq = story.events.length;
    const uid = read(story.state).by(`checkin-${seq}`)?.uid;
    expect(uid).toBeDefined();
    story.strike(seq, DAWN_MS + HOUR);
    const after = read(story.state).by(`checkin-${seq}`);
    expect(after?.uid).toBe(uid);
    expect(after?.component.getFirstPropertyValue('status')).toBe('CANCELLED');
  });

  it('repeats the nightly check-in by the wall’s clock, up to the last agreed time, in UTC', () => {
    const story = departed().tell({
      kind: 'watch.nightly',
      data: { clock: '21:00' },
      told: DAWN_MS + HOUR,
    });
    const nightly = read(story.state).by('nightly');
    expect(nightly?.startDate.hour).toBe(21);
    // 3.3.10: with a DTSTART that has a zone, UNTIL is in UTC.
    expect(nightly?.component.getFirstProperty('rrule')?.toICALString()).toMatch(
      /FREQ=DAILY;UNTIL=20310613T000000Z/,
    );
  });

  it('escapes what people typed and lets no line be slipped in', () => {
    const story = departed().tell({
      kind: 'trip.edited',
      data: { place: { name: 'Gorge; east, upper\r\nBEGIN:VEVENT' } },
    });
    const { events, by } = read(story.state);
    expect(events).toHaveLength(2);
    expect(by('down')?.location).toBe('Gorge; east, upper BEGIN:VEVENT');
  });

  it('is left out when no time was ever agreed', () => {
    expect(
      calendarFile(opened().tell({ kind: 'trip.departed', at: DAWN_MS }).state, options),
    ).toBeUndefined();
  });
});
