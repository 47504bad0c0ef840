const upTo = (n: number) => `(?: [\\p{L}\\p{N}]+){0,${n}} `;
const BODY =
  '(?:kopf|hals|nacken|rücken|brust|rippen?|schulter|arm|ellbogen|handgelenk|hand|hände|finger|daumen|' +
  'hüfte|bein|oberschenkel|knie|knöchel|fuß|füße|zehen?|auge|knochen|bauch|gelenk)';
const DAMAGED =
  '(?:kaputt|verdreht|taub|ab|gerissen|dick|angeschlagen|aufgeschlagen|angehauen|gestoßen|weh|erfroren|' +
  'eingeklemmt|zerquetscht|offen|durch)';

/** German words and turns that may mean trouble. `ü` is read as u, ue and ü, `ß` as ss and ß. */
export const GERMAN: readonly string[] = [
  'notruf|notfälle?|notarzt|arzt|ärztin|sanitäter|sani|hilfe|helft|helfen sie|hülfe|dringend|polizei|(?:ruft|rufen|wählt)(?: [\\p{L}]+){0,3} (?:112|110|140|144|118)|rettung\\p{L}*|retten|rettet|bergrett\\p{L}*|bergwacht',
  'hubschrauber|heli|rega|in (?:großer |berg)?not|bergnot|holt (?:uns|ihn|sie|mich)|bitte komm\\p{L}*|komm\\p{L}* (?:bitte |jetzt )?schnell',
  'verletz\\p{L}*|verl|gebrochen|(?:arm|bein|knochen|rippen|becken|schädel)bruch|bruch|blut\\p{L}*|geblutet|wunden?|platzwunde',
  'verbrannt|vergiftet|geprellt|prellung|verstaucht|verknackst|umgeknickt|ausgekugelt|ausgerenkt|verdreht|geschwollen|geschnitten|schnittwunde|gequetscht',
  `${BODY}${upTo(3)}${DAMAGED}|${BODY} ${DAMAGED}|(?:am|aufn|auf den|in den) ${BODY} (?:getroffen|gefallen|bekommen)|stein${upTo(2)}${BODY}`,
  '(?:tut|tuts|tun)(?: [\\p{L}]+){0,3} weh|weh ?getan|schmerz\\p{L}*',
  'bewus?(?:s|ß)?t ?los|ohnmächtig|ohnmacht|kollabiert|umgekippt|kreislauf\\p{L}*|herz(?:infarkt|problem\\p{L}*)|schlangenbiß|allergi\\p{L}*|schlaganfall|gehirnerschütterung|krampfanfall',
  'knie|knöchel|schulter|handgelenk|ellbogen|rippen?|finger|zehen?|wirbel\\p{L}*|hüfte|(?:mein|sein|ihr)\\p{L}* (?:kopf|arm|bein|hand|fuß|rücken|auge|brust|bauch)',
  'krank\\p{L}*|spital|fieber|schwindlig|schwindelig|erbr(?:icht|ochen)|übel|kotzt|kotzen|(?:mir|ihm|ihr|uns|jonas|ines) (?:ist|wird) (?:\\p{L}+ )?schlecht',
  'gehts? (?:\\p{L}+ ){0,3}(?:schlecht|dreckig|mies|elend|nicht gut|nicht (?:mehr |so )?gut)|(?:nicht|nich|net) (?:\\p{L}+ )?(?:gut|ok|okay|wohl)(?= ?(?:$|[.,;:!?]))|schlimm\\p{L}*|ernst|lebensgefahr|gefahr',
  'unterkühl\\p{L}*|erfr(?:oren|iert|ieren)|frier(?:t|e|en)|(?:nass|naß) und (?:\\p{L}+ )?kalt|kalt und (?:\\p{L}+ )?nass|(?:uns|mir|ihm|ihr) ist (?:\\p{L}+ )?kalt|zitter\\p{L}*|eiskalt|(?:so|sehr|zu|furchtbar|saumäßig) kalt|taube? (?:finger|hände|füße|zehen)|spür\\p{L}*(?: [\\p{L}]+){0,4} (?:nicht|nichts|kaum|nimmer)',
  'erschöpf\\p{L}*|(?:völlig|total|ganz|komplett) (?:fertig|am ende|erledigt)|keine (?:kraft|luft)|(?:sehr|zu|so|ganz) schwach|zu müde (?:um|zum)|gefühllos|kein gefühl|sagt nichts|(?:seil|seile) (?:ist |sind )?(?:weg|verloren)|durchgefro\\p{L}*|abgefroren|am ende|entkräftet|dehydriert|kein(?:en)? (?:tropfen )?wasser(?: mehr)?|wasser (?:ist )?(?:aus|alle|leer)|ohne wasser|nichts (?:mehr )?zu (?:trinken|essen)',
  'abgestürzt|gestürzt|absturz|sturz|unfall|steinschlag|felssturz|lawine|blitz\\p{L}*|(?:run?ter|ab|hin|ins seil|aus der wand|herunter) ?gefallen|abgeschmiert|ausgerutscht|einen stein (?:abbekommen|abgekriegt)|weder vor noch zurück|nicht vor (?:und|oder|noch) zurück',
  '(?:sitz\\p{L}*|steck\\p{L}*|häng\\p{L}*)(?: [\\p{L}\\p{N}]+){0,4} fest|fest(?:ge)?(?:sessen|steckt|hängen|sitzen)|eingeklemmt|eingeschlossen|verschüttet|verstiegen|verirrt|verlaufen',
  'vermißt|\\p{L}+ ist weg|verschwunden|verschollen|tot|tote|toter|gestorben|stirbt|sterben|ertrunken',
  '(?:kann|können|koennen|kanns|könn)(?: [\\p{L}]+){0,3} (?:nicht|nich|net|nimmer) (?:mehr|weiter|runter|laufen|gehen|auftreten|absteigen|abseilen|stehen|aufstehen|bewegen|atmen|hoch|zurück)|(?:kann|können) nimmer',
  'komm\\p{L}*(?: [\\p{L}]+){0,3} (?:nicht|nich|net|nimmer)(?: mehr)? (?:runter|weiter|hoch|vor|zurück|weg|rauf|herunter)',
  '(?:reagiert|antwortet|atmet|bewegt sich|rührt sich|meldet sich|ansprechbar)(?: [\\p{L}]+){0,2} (?:nicht|kaum|nimmer)|nicht (?:mehr )?ansprechbar|zusammen ?gebrochen|bricht zusammen|schock|panik|verwirrt|lallt|lallen|gelähmt|angst|dreht durch|nicht (?:ganz )?bei sich',
  'seil (?:ist |wurde )?(?:\\p{L}+ )?(?:gerissen|durch|beschädigt)|stand (?:ist )?ausgerissen|(?:vom|von einem) (?:stein|blitz|block) (?:getroffen|erwischt)',
];

/** Long words that are searched for however they are spelt. */
export const GERMAN_SPELT: readonly string[] = [
  ...[
    'verletzt',
    'verletzung',
    'gebrochen',
    'bewusstlos',
    'ohnmachtig',
    'abgesturzt',
    'unterkuhlt',
  ],
  ...['erschopft', 'notfall', 'notruf', 'rettung', 'hubschrauber', 'bergrettung', 'bergwacht'],
  ...[
    'hilfe',
    'verstiegen',
    'steinschlag',
    'verschuttet',
    'zusammengebrochen',
    'schmerzen',
    'gesturzt',
    'erfroren',
    'umgeknickt',
  ],
];
