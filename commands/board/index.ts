import { type Command, sub } from '../../src/app/command.ts';
import { showBoard } from './show.ts';

export default {
  name: 'board',
  description: 'The pinned status message, kept up to date, with its picture',
  bare: sub({
    description: 'The pinned status message, kept up to date, with its picture',
    access: 'look',
    options: {},
    run: (call, _args, app) => showBoard(app, call),
  }),
} satisfies Command;
