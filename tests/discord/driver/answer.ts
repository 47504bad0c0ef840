import { buttonLabels } from '../compose.ts';
import type { StandInteraction, StandMessage } from '../model.ts';

/** How a bot answered; live, so that follow-ups and edits that come later show up in it. */
export class Answer {
  readonly interaction: StandInteraction;

  constructor(interaction: StandInteraction) {
    this.interaction = interaction;
  }

  /** Type of the first answer: 4 message, 5 deferred, 6 deferred update, 7 update, 8 choices, 9 form. */
  get ack(): number | undefined {
    return this.interaction.ack?.type;
  }

  /** The reply, or the message that was updated; where that only lost a button, what followed. */
  get message(): StandMessage {
    const [first] = this.#said;
    if (first === undefined) throw new Error('the answer is no message');
    return first;
  }

  get #said(): StandMessage[] {
    const { original, source, answered } = this.interaction;
    const followed = original === source && answered && this.messages.length > 0;
    const first = original === undefined || followed ? [] : [original];
    return [...new Set([...first, ...this.messages])];
  }

  /** The reply and its follow-ups in order; for a pressed button, the follow-ups only. */
  get messages(): readonly StandMessage[] {
    return this.interaction.messages;
  }

  /** All the answer's text: reply and follow-ups, one below the other. */
  get text(): string {
    return this.#said.flatMap((m) => (m.deleted ? [] : [m.content])).join('\n');
  }

  /** Labels of all its buttons. */
  get buttons(): string[] {
    return this.#said.flatMap((m) => (m.deleted ? [] : buttonLabels(m)));
  }

  /** The message of this answer that has a button with this label; the reply when none has. */
  messageWith(label: string): StandMessage {
    return this.#said.find((m) => buttonLabels(m).includes(label)) ?? this.message;
  }

  /** True when only the asker sees it. */
  get private(): boolean {
    return this.message.onlyFor !== undefined;
  }

  get modal(): NonNullable<StandInteraction['modal']> {
    const { modal } = this.interaction;
    if (modal === undefined) throw new Error('the answer is no form');
    return modal;
  }

  /** Resolves when there are `count` messages: the reply and its follow-ups. */
  async whenMessages(count: number): Promise<readonly StandMessage[]> {
    await watch(this.interaction, () => this.messages.length >= count);
    return this.messages;
  }
}

export interface Waiting {
  /** Resolve at the first answer even if it is a deferral. */
  until?: 'ack' | 'answer';
  /** By default a refused request about this interaction rejects, so that a test can't overlook it. */
  allowRefusals?: boolean;
}

export async function answerTo(
  interaction: StandInteraction,
  { until = 'answer', allowRefusals = false }: Waiting,
): Promise<Answer> {
  await watch(interaction, () => {
    const refusal = interaction.refusals.at(-1);
    if (refusal !== undefined && !allowRefusals) {
      const { route, status, code, message, errors } = refusal;
      const detail = errors === undefined ? '' : ` ${JSON.stringify(errors)}`;
      throw new Error(`Discord would refuse ${route}: ${status}, ${code} ${message}${detail}`);
    }
    return until === 'ack' ? interaction.ack !== undefined : interaction.answered;
  });
  return new Answer(interaction);
}

export interface Outcome {
  accepted: boolean;
  /** Discord's code when it was refused: 40060, 10062. */
  code?: number;
}

/** What becomes of the bot's next request about this interaction. */
export async function nextOutcome(interaction: StandInteraction): Promise<Outcome> {
  const before = interaction.refusals.length;
  let requests = -1;
  await watch(interaction, () => {
    requests += 1;
    return requests > 0;
  });
  const refusal = interaction.refusals[before];
  return refusal === undefined ? { accepted: true } : { accepted: false, code: refusal.code };
}

/** Checks now and after every request about the interaction. */
function watch(interaction: StandInteraction, done: () => boolean): Promise<void> {
  return new Promise((resolve, reject) => {
    const look = () => {
      try {
        if (!done()) return;
        resolve();
      } catch (error) {
        reject(error as Error);
      }
      interaction.watchers.delete(look);
    };
    interaction.watchers.add(look);
    look();
  });
}
