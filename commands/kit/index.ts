import type { Command } from '../../src/app/command.ts';
import { kit } from './kit.ts';

export default { name: 'kit', description: kit.description, bare: kit } satisfies Command;
