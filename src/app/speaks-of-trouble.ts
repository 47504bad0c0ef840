/**
 * Words that may mean that somebody is hurt or wants help. A sign of life with one of them is asked
 * back: too many questions do less harm than one call for help that reads as "all well". Engineering
 * choice.
 */
const WORDS =
  /\b(hurt|injur\w*|wound\w*|broke|broken|break|fractur\w*|dislocat\w*|bleed\w*|blood|concuss\w*|unconscious|faint\w*|chok\w*|burn\w*|hypotherm\w*|frostbit\w*|sprain\w*|sick|ill|accident|fell|fallen|rockfall|avalanche|rescue|help|helicopter|medevac|evac\w*|ambulance|emergency|mayday|sos|pan-pan|stuck|stranded|trapped|lost|missing|dead|dying|died|call.?out|notruf|verletzt|hilfe|skadet|hjelp|ulykke)\b/iu;

/** The word that may mean trouble, as it was typed; undefined when there is none. */
export function speaksOfTrouble(words: string | undefined): string | undefined {
  return words === undefined ? undefined : (WORDS.exec(words)?.[0] ?? undefined);
}
