import { saidBy, waysSaid } from '../alarm/consent.ts';
import type { Call } from '../record/call.ts';
import { change } from '../record/change.ts';
import type { Loaded } from '../record/records.ts';
import { ENGLISH } from '../say/contact/words.ts';
import { Refusal } from '../say/refusal.ts';
import type { Reply } from '../say/reply.ts';
import type { Draft } from '../trip/fact.ts';
import type { Person } from '../trip/people.ts';
import { personById, type TripState } from '../trip/state.ts';
import { isTopicName, readTopic } from '../trip/topic.ts';
import type { App } from './app.ts';
import { askDrafts } from './asking-contacts.ts';
import type { NtfyDoor } from './page/port.ts';
import { wordsToward } from './toward.ts';

/** Whoever knows a topic reads what comes there, so a short one, which is soon guessed, is refused. Engineering choice. */
const NAME_MIN = 12;

/**
 * The address of a topic that a contact typed, by its name or in full.
 *
 * @throws Refusal for a server that may not be written to, and for a name that is no name or too short
 */
export function topicMeant({ servers }: NtfyDoor, typed: string): string {
  const text = typed.trim();
  const at = readTopic(isTopicName(text) ? `${servers[0]}/${text}` : text);
  if (at === undefined)
    throw new Refusal('topic-unreadable', ENGLISH.text('refused.topic-unreadable'));
  if (!servers.includes(at.server)) {
    throw new Refusal('topic-server', ENGLISH.text('refused.topic-server'));
  }
  if (at.topic.length < NAME_MIN) {
    throw new Refusal('topic-short', ENGLISH.text('refused.topic-short'));
  }
  return `${at.server}/${at.topic}`;
}

/**
 * A contact names the topic that their phone listens to. One message goes there, with where they say yes: a server
 * takes messages to any topic, so nothing else shows that the name was typed right.
 */
export function nameTopic(
  app: App,
  call: Call,
  { id }: Pick<Person, 'id'>,
  typed: string,
): Promise<Reply> {
  return change(app, call, {
    async decide(loaded) {
      if (app.ntfy === undefined)
        throw new Refusal('topic-server', ENGLISH.text('refused.topic-server'));
      return topicDrafts(app, call, loaded, id, topicMeant(app.ntfy, typed));
    },
    answer({ after }) {
      const w = wordsToward(after, call);
      const person = personById(after, id);
      const way = { person: id, way: 'ntfy' as const, to: person?.ntfy ?? '' };
      const said = saidBy(after, way);
      if (said === 'yes') return { lines: [w.say('ntfy.isOn')] };
      if (said === 'no') return { lines: [w.say('ntfy.saidNo')] };
      return { lines: [w.say('ntfy.sent'), w.say('ntfy.sentThen')] };
    },
  });
}

async function topicDrafts(
  app: App,
  call: Call,
  loaded: Loaded,
  id: string,
  to: string,
): Promise<Draft[]> {
  const way = { person: id, way: 'ntfy', to } as const;
  const person = personById(loaded.state, id);
  mayChange(loaded.state, person, to);
  const named: Draft[] =
    person?.ntfy === to ? [] : [{ kind: 'roster.edited', data: { id, patch: { ntfy: to } } }];
  const known = loaded.state.watch.consents.some(
    (c) => c.way === 'ntfy' && c.to === to && c.person === id,
  );
  if (!known) return [...named, ...(await askDrafts(app, call, loaded, named))];
  if (saidBy(loaded.state, way) === 'yes' || saidBy(loaded.state, way) === 'no') return named;
  const wait = await app.invitations.mayAsk(call, [way]);
  if (wait !== undefined) throw wait;
  return [...named, { kind: 'contact.asked', data: way }];
}

/** The topic that is their only way stays until there is another way: a new one counts only once they said yes there. */
function mayChange(state: TripState, person: Person | undefined, to: string | undefined): void {
  if (person?.ntfy === undefined || person.ntfy === to) return;
  const yes = waysSaid(state, person, 'yes');
  if (yes.length > 0 && yes.every(({ way }) => way === 'ntfy')) {
    throw new Refusal('last-way', ENGLISH.text('refused.last-way'));
  }
}

/** A contact turns messages to their topic off. Whoever has no other way leaves by saying so. */
export function dropTopic(app: App, call: Call, { id }: Pick<Person, 'id'>): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      const person = personById(state, id);
      if (person?.ntfy === undefined) return [];
      mayChange(state, person, undefined);
      return [{ kind: 'roster.edited', data: { id, patch: { ntfy: null } } }];
    },
    answer: ({ after }) => ({ lines: [wordsToward(after, call).say('ntfy.isOff')] }),
  });
}
