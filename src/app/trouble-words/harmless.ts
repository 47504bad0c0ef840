const THING =
  '(?:(?:haul|tag|lead) ?lines?|(?:haul ?)?bags?|haulbags?|pigs?|sacks?|gear|cams?|nuts?|pieces?|slings?|biners?|krabs?|' +
  'radio|phone|mobile|batter(?:y|ies)|powerbank|stove|tent|poles?|fly|portaledge|topo|map|camera|gloves?|bottles?|' +
  'cup|mug|spoon|torch|headlamps?|lamps?|watch|gps|zip|straps?|pulley|jumars?|hammer|hooks?|sunglasses|' +
  'rucks(?:a|ae)cke?|nachzieh\\p{L}*|funk(?:gerat)?|handy|akkus?|kocher|stirnlampe|klemmgerat|karabiner|flasche)';
const MASHED =
  '(?:stuck|jammed|lost|missing|broken|broke|dead|fell|fallen|dropped|gone|dying|died|hurt(?:s)? my ears|' +
  '(?:he)?run?ter ?gefallen|abgesturzt|verklemmt|steckt fest|hangt fest|haengt fest|sitzt fest|klemmt|kaputt|leer|tot)';
const WAS =
  '(?:is|are|was|were|got|gets|has|have|had|keeps?|kept|been|being|ist|war|sind|hat|sich|auch|a bit|half|now|again|always)';
const AMOUNT =
  '(?:a|an|the|our|my|his|her|your|their|one|two|three|some|all|about|at|almost|nearly|only|\\d+)';
/** Not when it came down on somebody. */
const ON_NOBODY = '(?!(?: [\\p{L}]+){0,1} (?:on|onto|upon|over|auf)(?![\\p{L}]))';

const INJURY =
  '(?:hurt|injur\\p{L}*|wound\\p{L}*|accidents?|sick|ill|falls?|emergency|emergencies|dead|missing|trapped|' +
  'verletz\\p{L}*|krank\\p{L}*|unfall|unfalle|notfall|notfalle|sturz|sturze|gesturzt|skade\\p{L}*|ulykke\\p{L}*)';

/** Turns that sound like trouble and are none: things, not people; names of places; figures of speech. */
export const HARMLESS: readonly string[] = [
  `${THING}(?: ${WAS}){0,3} ${MASHED}${ON_NOBODY}`,
  `(?:ropes?|seile?)(?: ${WAS}){0,3} (?:stuck|jammed|steckt fest|hangt fest|haengt fest|sitzt fest|klemmt|verklemmt|verhangt|verhaengt)`,
  'stuck ropes?|hip belay',
  `(?:stuck|jammed|lost|missing|broken|broke|dead|dropped|freed)(?: ${AMOUNT}){0,2} (?:\\p{L}+ )?${THING}(?! (?:on|onto|auf))`,
  '(?:lost|losing|loses|missing)(?: [\\p{L}\\p{N}]+){0,2} (?:min|mins|minutes|hours?|h|time|height|elevation|metres|meters|m|feet|ft|radio contact|reception|signal|network|coverage|internet)',
  'missing (?:you|home|breakfast|dinner|the party)|lost (?:arrow|valley|world)',
  '(?:fell|fallen|falling|fall) (?:asleep|behind|short|back|into place)',
  '(?:night|dark|darkness|dusk|evening|temps?|temperature|snow|rain|hail|fog|it|wind|curtain)(?: has)? (?:fell|fallen)',
  'dead (?:tree|end|calm|tired|slow|straight|ahead|easy|man|vertical|point|snag|wood|branch|reckoning|weight)',
  '(?:at|past|on|below|above|to|by|near|under|over) (?:the )?(?:broken|crushed|lost|dead) (?:\\p{L}+)',
  'broken (?:pillar|ledges?|rock|ground|terrain|flakes?|tower|corner|slabs?|clouds?|tree|section|wall|face|ridge|crack)',
  '(?:broke|broken|breaking) camp|broke (?:the )?(?:trail|fast)',
  'help (?:yourself|yourselves)|(?:thanks|thank you|thx|cheers|tusen takk)(?: [\\p{L}]+){0,4} help',
  'with (?:a little |some |the )?help (?:of|from)',
  'ill (?:be|call|ring|text|write|post|send|come|go|do|get|have|lead|let|try|tell|take|start|stay|wait|bring|see|say)',
  'sick (?:pitch|lead|view|climb\\p{L}*|line|route|move|exposure|crack|day out)|ill[- ]fitting',
  '(?:crush|kill)(?:ed|ing|s|es)? (?:it|the|that|this|them|his|her|every|p ?\\d+|pitch)',
  '(?:dying|died) (?:to|for|of laughter|laughing)|blood moon|burn pitch',
  'stuck (?:behind|in (?:traffic|a queue|the queue|line)|to (?:the|our) (?:plan|topo|schedule|route|times?))',
  '(?:no|without|any) (?:big |real |great |more )?(?:troubles?|problems?|danger|stress|drama|rush|hurry|panic)|(?:dont|do not|never|not) (?:\\p{L}+ )?(?:panic|worry|hurry)',
  'not (?:in a (?:rush|hurry)|moving (?:before|until|till|yet))|(?:regen|nebel|sonne|wolken|schnee|eis|gewitter|handy) ist weg',
  'trouble (?:with|getting|finding|freeing) (?:the )?(?:\\p{L}+ )?(?:ropes?|haul|hauling|bags?|radio|phone|gear|topo)',
  'freezing (?:level|point|temps?|temperature|rain|drizzle|night|wind|cold night)|(?:so|too|very|really|extremely) cold (?:night|morning|wind|water|beer|drinks?)',
  'rescue (?:cache|box|bolts?|team is off)|emergency (?:number|blanket|rations?|call-?out time)|call.?out time',
  '(?:weather|forecast|rock|reception|signal|radio|connection|snow|wind|visibility|view|views|pro|protection|food|topo)(?: [\\p{L}]+){0,2} (?:is|was|are|looks?|gets?|getting|gone|not)(?: [\\p{L}]+){0,1} (?:bad|worse|awful|terrible|good|great|gone)',
  '(?:rain|sun|clouds?|fog|wind|snow|ice|heat|light|moon|storm|queue|party ahead|traffic) is gone',
  '(?:sore|tired|cold|pumped|chalky|raw|taped|warm|dirty) (?:\\p{L}+ )?(?:hands|fingers|toes|knees)|(?:fingers|toes|knees) (?:are |is )?(?:a bit |slightly |quite |a little )?(?:cold|tired|sore|warm|dirty|raw)',
  'fingers crossed|(?:at|from|near) the (?:shoulder|knee|elbow|hip|rib)|rock finger|(?:leave|left|let) (?:\\p{L}+ )?alone',
  'cut (?:the|a) (?:tag|line|cord|sling|tape|cheese|bread)|(?:hand|finger|fist|foot|knee|arm|head|toe|hip|rib)[- ]?(?:cracks?|jams?|bars?|holds?|locks?|lamps?|wall)',
  '(?:weather|wetter|lage|es) ist (?:\\p{L}+ )?ernst gemeint|ernsthaft gut|notfalls|versetzt\\p{L}*|scherzen|blutmond',
  'hat (?:uns|mir|ihm|ihr|allen|ihnen)(?: [\\p{L}]+){0,3} gefallen',
  'pause am ende|am ende (?:der|des|vom|von|dieser|war|wars)|nicht (?:so )?schlimm|keine? gefahr|halb so schlimm',
];

/** “Nobody hurt”: said of nobody. Only with nothing between, so “nobody badly hurt” is asked about. */
export const OF_NOBODY: readonly string[] = [
  `(?:no|not|nobody|no one|noone|none|neither|nothing|without|never|zero|0|kein\\p{L}*|niemand|nicht|nichts|ohne|keiner|ingen|ikke)(?: (?:of us|of them|is|are|was|were|got|has|have|had|been|any|ist|sind|wurde|war|hat|more|and|or|oder|und|verletzte|er))*(?: ${INJURY})(?:(?: (?:and|or|nor|oder|und|,))* (?:no )?${INJURY})*`,
];

/** Somebody is left out of what was said of nobody. */
export const LEFT_OUT: readonly string[] = [
  'but|except|besides|apart|aside|save|other than|only|yet|unless|until|aber|außer|bis auf|nur|jedoch|noch|bortsett|men',
];
