/**
 * Words that may mean that somebody is hurt or wants help. A sign of life with one of them is asked
 * back: too many questions do less harm than one call for help that reads as "all well". Engineering
 * choice.
 */
const ENGLISH =
  'hurt|injur\\w*|wound\\w*|broke|broken|break|fractur\\w*|dislocat\\w*|bleed\\w*|blood|concuss\\w*|' +
  'unconscious|unresponsive|faint\\w*|chok\\w*|burn\\w*|hypotherm\\w*|frostbit\\w*|sprain\\w*|sick|ill|' +
  'accident|fell|fallen|rock ?fall|avalanche|rescu\\w*|help|helicopter|medevac|evac\\w*|ambulance|' +
  'emergency|may ?day|s\\.?o\\.?s|pan[- ]?pan|stuck|stranded|trapped|lost|missing|dead|dying|died|' +
  'call.?out|collaps\\w*|crush\\w*|paraly[sz]\\w*|seizure|stroke|not breathing|no pulse|chest pain|' +
  'lightning|can.?t (?:move|walk|feel|breathe)|exhausted|heat ?stroke|' +
  'cuts?(?: [\\p{L}]+){0,2} (?:hand|finger|thumb|arm|wrist|leg|knee|foot|head|face)s?|deep cut|gash\\w*|' +
  'badly|pain|painful|swollen|twisted|fever\\w*|vomit\\w*|throwing up|dizzy|hit (?:by|on)';
const GERMAN =
  'notruf|notfall|notarzt|verletz\\w*|hilfe|gebrochen|(?:arm|bein|knochen|rippen)bruch|bewu(?:ss|ß)tlos|' +
  'ohnmächtig|abgestürzt|gestürzt|blut\\w*|unfall|steinschlag|lawine|rettung\\w*|vermisst|krank\\w*|' +
  'spital|hubschrauber|bergwacht|unterkühlt|erfroren|erschöpft|schmerz\\w*|verirrt|geschnitten|schnittwunde|verstaucht|geschwollen|fieber|schwindlig|erbr(?:icht|ochen)|tot|gestorben|' +
  '(?:sitzen|sitzt|stecken|steckt)(?: [\\p{L}\\p{N}]+){0,4} fest';
const NORWEGIAN =
  'skade\\w*|kuttet|smerte\\w*|forstuet|feber|hjelp|ulykke|brukket|bevisstløs|falt|blør|redning\\w*|savnet|nød';
const WORDS = new RegExp(
  `(?<![\\p{L}\\p{N}])(?:${ENGLISH}|${GERMAN}|${NORWEGIAN})(?![\\p{L}\\p{N}])`,
  'iu',
);

/** The word that may mean trouble, as it was typed; undefined when there is none. */
export function speaksOfTrouble(words: string | undefined): string | undefined {
  return words === undefined ? undefined : (WORDS.exec(words)?.[0] ?? undefined);
}
