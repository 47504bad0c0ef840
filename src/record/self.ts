import type { Author } from '../trip/fact.ts';

/** What the watch itself tells is signed with this. */
export const SELF: Author = { id: 'tagline', name: 'tagline' };
