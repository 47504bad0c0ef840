import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { exportCsv, exportJsonLines } from '../../src/record/file/export.ts';
import { lookBack } from '../../src/record/trips.ts';
import type { Reply } from '../../src/say/reply.ts';

/** The whole record as two files, private: it holds phones and addresses. */
export async function exportLog(app: App, call: Call): Promise<Reply> {
  const { state, history } = await lookBack(app, call, 'act');
  const name = `${
    state.name
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-|-$/g, '') || 'trip'
  }-record`;
  return {
    lines: [
      `${history.length} entries, as JSON Lines and as CSV.`,
      'Keep them to yourself: phones, addresses and medical notes are in them.',
      ['Either opens an identical trip elsewhere: ', { code: '/trip open record:' }],
    ],
    files: [exportJsonLines(name, history), exportCsv(name, history)],
    private: true,
  };
}
