import type { Hours } from '../hours.ts';

/** A language of the catalogue. */
export type Language = 'en' | 'de';

/** What a reader is told of a language before they pick it. */
export interface LanguageInfo {
  /** Its own name. */
  name: string;
  /** Said where it is picked, in that language, until a native speaker has read all of it. */
  unreviewed?: string;
}

/** Every language that contacts may read, the one that all else is written in first. */
export const LANGUAGES: Readonly<Record<Language, LanguageInfo>> = {
  en: { name: 'English' },
  de: {
    name: 'Deutsch',
    unreviewed: 'Diese Texte hat noch niemand geprüft, dessen Muttersprache Deutsch ist.',
  },
};

/** The codes of the languages, as they are typed and recorded. */
export const CODES = Object.keys(LANGUAGES) as Language[];

/** The language of a BCP 47 tag (`de-AT` → `de`); undefined where we don't have it. */
export function languageOf(locale: string | undefined): Language | undefined {
  const [primary] = (locale ?? '').toLowerCase().split(/[-_]/u);
  return CODES.find((code) => code === primary);
}

/** The first tag of an Accept-Language header that is one of ours (RFC 9110, 12.5.4); undefined for none. */
export function accepted(header: string | undefined): string | undefined {
  const tags = (header ?? '').split(',', 20).flatMap((part) => {
    const [tag = '', ...parameters] = part.trim().split(';');
    const q = /^\s*q=(\d(?:\.\d{1,3})?)\s*$/u.exec(parameters.join(';'))?.[1] ?? '1';
    return isLocale(tag) && Number(q) > 0 ? [{ tag, q: Number(q) }] : [];
  });
  return tags.sort((a, b) => b.q - a.q).find(({ tag }) => languageOf(tag) !== undefined)?.tag;
}

/** Whether a text is a tag that can be kept: language and, where given, script and region. */
export function isLocale(text: string): boolean {
  return /^[a-z]{2,3}(?:-[A-Z][a-z]{3})?(?:-(?:[A-Z]{2}|\d{3}))?$/u.test(text);
}

/** The clock that is read where that tag is spoken, as CLDR has it; undefined for English of nowhere. */
export function hoursOf(locale: string | undefined): Hours | undefined {
  if (locale === undefined || locale === 'en') return undefined;
  const { hourCycle } = new Intl.DateTimeFormat(locale, { hour: 'numeric' }).resolvedOptions();
  return hourCycle === 'h12' || hourCycle === 'h11' ? 12 : 24;
}
