/** Up to so many words may stand between two. */
const upTo = (n: number) => `(?: [\\p{L}\\p{N}]+){0,${n}} `;
/** The end of what is said in one breath. */
const END =
  '(?= ?(?:$|[.,;:!?)/-]| (?:and|but|so|at|on|in|for|since|please|pls|plz|here|now)(?! ?\\p{N}* ?pm)))';

const BODY =
  '(?:head|skull|neck|spine|chest|ribs?|shoulders?|collar ?bone|arms?|elbow|wrists?|hands?|fingers?|' +
  'thumbs?|hips?|pelvis|legs?|thigh|knees?|shins?|ankles?|foot|feet|heels?|toes?|eyes?|jaw|bones?)';
const DAMAGED =
  '(?:snapped|bust(?:ed)?|smashed|shattered|tore|torn|popped|rolled|tweaked|wrecked|twisted|bad|numb|' +
  'fro(?:zen|ze)|swollen|hit|banged|bumped|brk|bkn|fucked|knackered)';
const CANT =
  '(?:can+ ?(?:no)?t|cnt|cudnt|couldnt|could not|unable to|not able to|dont think we can|no way to|impossible to)';
const NOT = '(?:not|isnt|arent|wasnt|werent|aint|no one is|nobody is|none (?:of us )?(?:is|are))';
const DOESNT = '(?:doesnt|does not|didnt|did not|dont|wont|will not|stopped)';
const HELPERS =
  '(?:doctor|doc|para ?medics?|medics?|heli|chopper|sar|ambulance|h[ae]?lp|rescue\\p{L}*|evac\\p{L}*|' +
  'pick ?up|first aid|assistance|stretcher|rangers?|police|fire ?brigade|coast ?guard|some ?(?:one|body)|' +
  'mountain rescue|911|999|000|11[0-9]|14[04])';

/**
 * Words and turns that may mean that somebody is hurt, missing, at their wits' end or wants help.
 * Letters are small and plain, apostrophes are left out (`readable.ts`).
 */
export const ENGLISH: readonly string[] = [
  // Calls for help. Mayday and pan-pan: ITU Radio Regulations, articles 32 and 33.
  's[. ]?o[. ]?s|may ?day|pan[- ]?pan|h+[ea]*l+p+|h[ .-]e[ .-]l[ .-]p|hep|rescu\\p{L}*|medi?vac|evac\\p{L}*|helicopter|chopper|heli|ambulance',
  'doctor|para ?medics?|medics?|first aid|emergency|emerg|urgent\\p{L}*|asap|accid|call.?out',
  `(?:need|needs|want|wants|send|get|call|fetch|alert|request\\p{L}*)${upTo(2)}${HELPERS}`,
  '(?:call|ring|phone|dial) (?:the )?(?:911|999|000|11[0-9]|14[04]|sar|mountain rescue)',
  'please come|pl[sz] come|come (?:and )?(?:get|quick\\p{L}*|fast|now)|get us (?:out|down|off)|hurry',
  // Hurt.
  'hurt|hurts|hurting|hrt|injur\\p{L}*|inj|wound\\p{L}*|broke|broken|brkn|fractur\\p{L}*|dislocat\\p{L}*',
  'bleed\\p{L}*|blood|concuss\\p{L}*|sprain\\p{L}*|collaps\\p{L}*|crush\\p{L}*|paraly[sz]\\p{L}*|gash\\p{L}*',
  'deep cut|swollen|twisted|pain|pains|painful|agony|badly|limp(?:s|ing)?|tourniquet|core ?shot',
  `cuts?${upTo(2)}${BODY}|${BODY} (?:is |was |got )?cut(?: off)?|(?:lost|losing) (?:a |his |her |my |the )?${BODY}`,
  `${DAMAGED}${upTo(2)}${BODY}|${BODY}${upTo(2)}${DAMAGED}|${BODY} ${DAMAGED}`,
  `${BODY} break|burn\\p{L}*`,
  // Somebody's body is seldom spoken of for anything else.
  'ankles?|knees?|wrists?|elbows?|ribs?|skull|spin(?:e|al)|collar ?bone|pelvis|thighs?|shins?|hips?|toes?|fingers?|tib(?:ia)?',
  '(?:my|his|her|hers|our|their|both|left|right) (?:\\p{L}+ )?(?:head|neck|arms?|legs?|hands?|foot|feet|back|eyes?|chest|stomach|belly|face|lips?|nose)',
  // Ill, cold, out of strength.
  'sick|ill|unwell|faint\\p{L}*|chok\\p{L}*|dizzy|fever\\p{L}*|vomit\\p{L}*|puk(?:e|ed|ing)|thr(?:ow|ows|ew|owing) up',
  'unconscious|uncon|unresponsive|(?:pass|passed|black|blacked|knock|knocked) out|out cold|seizure|stroke|fits',
  'heart (?:attack|trouble|problem)|no pulse|short of breath|asthma|allerg\\p{L}*|bitten|stung|snake ?bite|infect\\p{L}*|insulin|oxygen|cramps?|k\\.?o\\.?|alone|(?:barely|hardly|half|semi) ?conscious|out of it|making (?:no|any) sense|(?:not|isnt|arent) making sense',
  'wet and cold|cold and wet|no (?:feeling|strength)|(?:lost|losing) (?:all )?(?:feeling|strength)|hypo\\p{L}*|frost ?bit\\p{L}*|freezing|shiver\\p{L}*|numb|(?:so|too|very|really|terribly|dangerously|extremely) cold',
  'exhausted|(?:too|very|getting|so) weak|too tired to|shaking|give up|no way (?:down|out)|no (?:answer|reply|response) from|(?:lost|dropped)(?: (?:a|the|all|both|our|one|my|his|of))* ropes?|ropes? (?:is |are )?(?:gone|lost)|dehydrat\\p{L}*|heat ?stroke|sun ?stroke|shock|soaked|deliri\\p{L}*|confus\\p{L}*|slur\\p{L}*',
  '(?:no|out of|without|ran out of|run out of) (?:more |any )?(?:water|food)|water (?:is |has )?(?:all )?(?:gone|finished|run out|ran out)',
  // Fallen, struck, caught.
  'accident|fell|fallen|avalanche|decked|tumbled|slipped|rock ?fall|stone ?fall',
  `(?:took|taken|had|been|leader|ground|big|bad|long|nasty|hard|huge|serious)(?: been)?(?: an?)?(?: [\\p{L}]+){0,1} fall`,
  'hit (?:by|on)|struck (?:by|on)|(?:rocks?|stones?|block|boulder|flake|ice)(?: [\\p{L}]+){0,1} (?:hit|coming down|came down|falling|fell|struck|landed)|gear (?:ripped|pulled|failed)|(?:by|from) an? (?:rock|stone|block|flake)|off the end of the rope|gave out|(?:dont|doesnt|not|stopped) work(?:ing)?|picked up|falling (?:rocks?|stones?)',
  'lightning|anchor (?:has |just |is )?(?:failed|failing|blew|pulled|ripped|gone)|rope (?:is |was |got |has )?(?:been )?(?:cut|damaged|broke|severed|snapped)',
  'stuck|stranded|trapped|benighted|lost|missing|separated|no sign of|(?:he|she|\\p{L}+) is gone',
  'dead|dying|died|die|killed|fatal\\p{L}*|distress|struggling|(?:not (?:gonna|going to)|wont) (?:make|last|survive)|dont know where (?:he|she|they|\\p{L}+) (?:is|are)',
  // What can't be done any more, and what isn't as it should be.
  `${CANT} (?:\\p{L}+ )?(?:move|walk|stand|feel|breathe?|continue|go (?:on|down|up|any)|get (?:off|down|out|up|back|any|him|her|them)|come down|rap|rappel|descend|use|hold on|stop (?:the )?(?:shiver|shak|bleed)\\p{L}*|find|reach|wake|see(?!\\p{N}* the)|eat|lift|keep going|put weight|get warm|warm up|keep (?:him|her|us|them)?)`,
  `${NOT}(?: [\\p{L}]+){0,2} (?:moving|breathing|responding|responsive|answering|waking|conscious|talking|safe)`,
  `${NOT}(?: [\\p{L}]+){0,2} (?:ok|okay|k|well|good|fine|great|right|alright)${END}`,
  `${DOESNT} (?:\\p{L}+ )?(?:answer|respond|react|wake|move|moving|breathe|breathing|speak|talk)(?:ing|s)?`,
  '(?:hasnt|has not|havent|have not|not) (?:\\p{L}+ )?(?:returned|come back|come up|turned up|been seen)',
  `trouble|in danger|${'(?:bad|rough|poor|terrible|awful) (?:shape|state|way)'}|serious|critical|panic\\p{L}*|scared|terrified`,
  `(?:its|is|are|looks|look|feels|feel|getting|gets|gone|doing|very|really|quite|pretty) (?:very |really |so |pretty )?(?:bad|worse|awful|terrible|poorly)${END}`,
];

/** Long words that are searched for however they are spelt. */
export const ENGLISH_SPELT: readonly string[] = [
  ...['injured', 'injury', 'unconscious', 'concussion', 'hypothermia', 'hypothermic', 'bleeding'],
  ...[
    'broken',
    'fracture',
    'fractured',
    'dislocated',
    'accident',
    'emergency',
    'rescue',
    'avalanche',
  ],
  ...['exhausted', 'collapsed', 'helicopter', 'ambulance', 'lightning', 'stranded', 'paralysed'],
  ...[
    'seizure',
    'dehydrated',
    'shivering',
    'frostbite',
    'shoulder',
    'hurting',
    'evacuation',
    'delirious',
  ],
  ...['breathing', 'swollen', 'urgent'],
];
