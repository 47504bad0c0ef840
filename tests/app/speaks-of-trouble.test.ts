/**
 * What a cold, hurt, hurried or German-speaking person would send, and what nobody would worry about.
 * The sentences are ours: common practice, no source. Only the calls MAYDAY, PAN-PAN and SOS are of a
 * standard (ITU Radio Regulations, articles 32 and 33).
 */
import { describe, expect, it, test } from 'vitest';
import { speaksOfTrouble } from '../../src/app/speaks-of-trouble.ts';

const sentences = (text: string) =>
  text
    .split(/[|\n]/u)
    .map((s) => s.trim())
    .filter((s) => s !== '');

/** Misspelt, in capitals, without apostrophes, as one types in gloves. */
const ENGLISH = sentences(`
  HELP | help pls | hlp | need hlp asap | plz send hlp | jonas brkn leg | brocken arm
  leg snapped | ankle busted | jonas is hrt | jonas injurd | injurd knee | ines unconcious
  uncon | passed out | blacked out | not moving | he isnt moving | she wont wake up
  not responding | ines doesnt answer | cant feel my fingers | cant feel fingers
  cannot feel my toes | hands frozen | so cold cant stop shivering | very cold, shivering
  hypo | hypothemia | hypothermic | in shock | jonas took a big fall | leader fall | decked
  jonas slipped and hit his head | hit head | hit her head hard | head injury | concusion
  knocked out | need a doctor | need medic | send heli | send chopper | call 112 | call 911
  call SAR | call mountain rescue | need recue | need evac | cant get down | cant go on
  cant move | we cant get off the ledge | no water left | out of water since noon | not ok
  NOT OK | not well | ines not doing well | in trouble | we are in trouble | big trouble
  its bad | bad shape | its serious | urgent | please come get us | come quick | need pickup
  jonas is gone | cant find jonas | no sign of ines | anchor failed | rope cut
  rope is cut through | core shot, cant rap | stuck on ledge 8 | we're stuck | were stuck
  benighted and freezing | freezing | ines is dehydrated | puking since midnight
  heart attack | chest pains | cant breath | trouble breathing | snake bite | allergic
  torn shoulder | shoulder popped out | dislocatd shoulder | tore his knee | limping badly
  ankle is swollen | bleading | bleeding a lot | lots of blood | accidnt
  there was an acident | emergancy | emergncy | S O S | sos sos | mayday mayday
  rocks coming down on us | rock hit jonas | struck by lightning | lightening strike | hurt
  hurting | Jonas got hurt | he is dying | killed | avalance | exausted | exhaustd
  too weak to climb | delirious | confused and slurring | panic | scared to death
  jonas lost it and cant climb | finger cut off | lost a finger | burnt hand | collapsd
  JONAS FELL 10M LEG LOOKS BAD | cant use my arm | ines has hypothermia i think
  plz get a heli | one of us is badly injured | broken ankel | pls hurry | Jonas not waking up
  he wont stop bleeding | foot crushed under block | we dont know where jonas is
  jonas hasnt come back from the rap | cant see anything, eyes burned | helpp | HEELLPP
  H E L P | nobody hurt but ines sprained ankle | no injuries except my wrist
  no serious injuries | nobody badly hurt | bag fell on jonas | haul bag fell onto ines leg
  rope stuck, cant get down | we r stuck n freezing | too cold to go on
  Mara very weak and confused | not gonna make it | we wont make it | gonna die | cant hold on
  need rescue now | were not ok | we aint ok | not alright | i think my leg is broke
  knee popped | back injury | my back hurts | lost feeling in legs | cant feel legs
  hit on the helmet hard, dizzy | ines crying and wont move | jonas has chest pain
  struggling | we are in a bad way | in distress | distress | its an emergency | help wanted
  someone help | hlp us | please help | pls snd help | accident on p7 | there has been a fall
  a rock landed on jonas | falling rocks hit us | injuries | 2 hurt | 1 inj
  Jonas is bleeding from head | can not move | cannt move | i cant go any further
  can't continue | no strength left | no feeling in fingers | fingers white and no feeling
  soaked and shivering | soaking wet and very cold | wet and cold | we are so wet and cold
  out of water and food | thirsty, no water | batteries dying and we are stuck
  jonas got clobbered by a rock | shes out of it | ines is not making sense
  gear ripped, jonas hit the ledge | he landed on his back | whacked his head | cracked rib
  split his lip open, lots blood | jonas cant see | dropped 5m onto ledge, back pain
  knee gave out | pls call rescue | we want out, send rescue | we need to be picked up
  Ines is in a lot of pain | cut my hand bad | my hands dont work | toes are black
  fingers blue | frost bite | frosbite | hyporthermia | unconsious | mountin rescue
  we are trapped by the storm | anchor is failing | jonas has a fever | diarrhea and vomiting
  jonas barely breathing | he is barely conscious | she is very ill | cant stand up
  cant put weight on foot | shock | going into shock | stomach cramps, cant eat
  out of battery soon, injured | jonas is ko | we were hit by lightning
  caught in storm, soaked | cant get warm | alone on ledge, jonas gone | jonas fell off
  rapped off the end of the rope | need oxygen | insulin gone | lost my insulin | concussed
  tib fib | open fracture | spinal | bleed
  our leader has come off and is hanging not talking
  jonas took a 15 footer onto the slab and his foot points wrong way | Ines feels faint
  smacked into the corner, cant lift arm | no answer from jonas since he went up
  no reply from jonas | jonas hanging in his harness not responding
  rope soaking, hypo starting | cant close my hands | shaking all over
  hands too cold to tie knots | too tired to go on | cant keep going | we give up
  come and get us pls | can sumone help | help needed | SOS 2 climbers | accid. | emerg evac
  2 ppl need heli | send hlp now | rope jammed and we cant pull it, stuck on hanging stance
  no way down | lost all our ropes | dropped the ropes | dropped both ropes | lost a rope
  tent blown away, freezing
`);

/** With umlauts, without, or with the e for them. */
const GERMAN = sentences(`
  HILFE | hilfe bitte | brauchen hilfe | brauche einen arzt | arzt | heli bitte | bein kaputt
  bein gebrochen | arm gebrochn | verlezt | ines verletzt | jonas abgestuerzt | abgesturzt
  gestuerzt | ins seil gefallen und kopf angeschlagen | ohnmaechtig | bewustlos | bewusstlos
  unterkuehlt | unterkuhlt | erschoepft | erschopft | koennen nicht weiter | können nicht mehr
  kann nicht mehr gehen | kommen nicht runter | sitzen fest | haengen fest
  wir hängen hier fest | stecken fest | mir ist schlecht | jonas geht es schlecht
  geht nicht gut | nicht gut | frieren sehr | wir frieren | zittert am ganzen koerper
  erfrieren | finger taub | spuere finger nicht | blutet stark | platzwunde | wunde am kopf
  tut weh | knie verdreht | schulter ausgekugelt | umgeknickt | zusammengebrochen | umgekippt
  reagiert nicht | atmet nicht | antwortet nicht | vom stein getroffen | stein auf den kopf
  blitz eingeschlagen | kein wasser mehr | verstiegen | in not | notfal
  rufts die bergrettung | bergrettung | holt uns hier raus | bitte kommt schnell | schlimm
  ernst | herzinfarkt | kreislauf | gehirnerschuetterung | eingeklemmt | verschuettet
  Jonas ist gestürtzt | er blutet am kopf | ines hat sich das bein gebrochen
  wir brauchen dringend hilfe | BRAUCHEN HILFE | dringend | wir können nicht absteigen
  können nicht abseilen | wir kommen nicht mehr runter | seil zu kurz, hängen fest
  uns ist sehr kalt | mir ist so kalt | total unterkühlt | völlig fertig
  sind am ende unserer kraft | keine kraft mehr | jonas kann nicht mehr | kann nicht auftreten
  verletzter | ein verletzter | zwei verletzte | verl. | jonas ist weg | jonas wird vermisst
  ines antwortet nicht mehr | hat sich wehgetan | schulter kaputt | finger erfroren
  finger abgefroren | nass und durchgefroren | durchgefrohren | steine fallen | felssturz
  beinbruch | herzprobleme | kriegt keine luft | bekommt keine luft | allergie | schlangenbiss
  bitte helft uns | helft uns | helfen sie uns | ruft die 112 | ruft hilfe | polizei
  geht mir nicht gut | es geht uns nicht gut | gar nicht gut | nicht okay
  Jonas ist ausgerutscht und gefallen | hat sich den Knöchel verdreht | Fuss kaputt
  haben uns verstiegn | sitzen auf Absatz 6 und können nicht vor und zurück
  bitte Rettung rufen | bitte heli schicken | brauchn hilfe | hifle | hlife | hilfe!!!
  Ines bewegt sich nicht | Jonas ansprechbar aber verletzt | starke schmerzen | starke Blutung
  hat viel blut verloren | ist nicht bei sich | verwirrt | lallt | friert stark | alle frieren
  uns ist kalt, sind nass | komplett nass und kalt | haben nichts mehr zu trinken
  kein essen kein wasser | knie macht nicht mehr mit | Schulter raus
  stein am helm, ihm ist schwindelig | hat einen stein abbekommen | vom steinschlag getroffen
  in panik | sie hat panik | er dreht durch | schock | steht unter schock | ruecken kaputt
  kann die beine nicht bewegen | gelähmt | gelaehmt | angst
  Jonas haengt im Seil und sagt nichts | Vorsteiger gestürzt | grosser Sturz | schlimmer sturz
  hab mir den fuss gebrochen | fuss umgeknikt | Blut ueberall | sehr schwach
  zu schwach zum abseilen | zu müde um weiterzugehen | kein gefühl in den händen
  hände gefühllos | seil weg | beide seile verloren
  können das seil nicht abziehen und hängen fest | brauchen heli asap | uns gehts nicht so gut
  uns gehts dreckig | wetter kippt wir sitzen fest
`);

/** Things that are stuck or fell, places, figures of speech, and what is said of nobody. */
const HARMLESS = sentences(`
  Jonas is well, no injuries | the rope is stuck | the bag fell | the dead tree pitch
  help yourself to beer | all well, tea break | we take a break at 3 | nobody hurt
  slow on the path, nobody hurt | no one injured, just tired | not hurt | unhurt
  haul bag stuck for an hour, all good | rope got stuck, freed it | lost a cam
  lost radio contact for a while, all well | phone battery is dead | radio dead, using phone
  sick pitch | Ill call you at 8 | ill be late | Jonas crushed pitch 5
  Ines killed it on pitch 7 | no problem | no trouble at all | we are fine, need nothing
  broke camp at 5 | stove broke, cold dinner | freezing level at 2500 | a bit cold but fine
  all good | fell asleep early | night fell, settled at 8 | night is falling | darkness fell
  temperature fell | dropped a nut | lunch break, back on it | on top, thanks for all the help
  thanks for your help | missing one sling | at the broken pillar | below the broken ledges
  on the crushed rock | blood moon tonight | alles gut | alle wohlauf | niemand verletzt
  keine verletzten | unverletzt | seil steckt fest | das seil klemmt | rucksack runtergefallen
  seil hat sich verklemmt, ist frei | es hat uns gut gefallen | haben jonas am stand getroffen
  schlechtes wetter, uns geht es gut | pause gemacht | nachts gefroren, jetzt sonne
  kein notfall | all well, no emergency | tired but happy | no accidents | no falls
  no injuries, nobody sick | hot tea helps | Greta helped us with water | rescue cache is full
  passed the rescue box | lost 20 min at a stuck rope | moved the stuck bag | lost the topo
  at the lost arrow stance | hit the ledge at 5 | hit the road | we hit pitch 8 before dark
  fell behind schedule | falling behind | stuck behind another party | stuck in traffic
  weather break | wake up call 5 | call you at 8 | Ines led the burn pitch | sunburn
  cut the tag end | take a cut of cheese | we cut across to the path | dying to be home
  dead tired but well | dying for a beer | well and warm | all fine here | alles klar
  alles ok bei uns | top of 7, brewing tea | Jonas and Ines asleep, Mara on watch
  slow but steady | warm and dry | we had a great night | hauling is hard work
  pitch 8 was hard | good night | rope is fixed to 6 | rain has stopped, waiting
  waiting for the rock to dry | weather is bad, staying put, all well
  sitting out the rain, warm | long day | tired arms | sore hands, big smiles
  bad rock on pitch 4 | loose block at stance 6, careful | watch the loose flake
  a bit behind | we might be late, no worries | late but fine | home by ten
  boat missed, taking next one | missed the boat, next at 8 | no word from greta
  radio checks at 8 | batteries low, next word at 21:00 | switching off to save battery
  phone off until 6 | great lead by Ines on the A3 | scary but well protected
  descending, all good | on the way down | at the landing | vielen dank | sind oben | gipfel
  steigen jetzt ab | alle gut drauf | kalt aber gut | müde aber glücklich
  warten auf trockenen fels | regen vorbei | warten den regen ab | schöner abend
  seil hat sich verhängt, wieder frei | wir sind spät dran | letztes boot verpasst
  handy fast leer | cold but happy | cold night, all well | cold and windy, all well
  fingers are cold but fine | water is fine, 6 l left | plenty of water | 2 l of water left
  Jonas dropped his glove | dropped the mug | the tag line broke free | took a break
  rest day | bruised ego only | not far now | not much left | not yet on top
  not moving before 6 | we are not in a hurry | nothing to report | no news | no change
  no rain so far | made good time | killing time | killer view | deadline is 22:00
  helping greta with water | thank you for helping | call you from the top | get some sleep
  need more tape | need coffee | want pizza | going well | gut geschlafen
  Ines hat super gesichert | Standplatz 6 erreicht | SL 5 fertig | hier ist es trocken
  bissl müde | wir machen pause | nächste meldung 21 uhr | meldung um 9
  akku sparen, bis morgen | frühstück, dann weiter | seillänge 8 geschafft
  all present and correct | smooth sailing | crew is happy | good morning from the ledge
  hauling now | jugging | rapping now | two more raps | crux done | aid pitch took ages
  went off route, back on it | off route for 30 min | wrong corner, rope drag
  drilled nothing | clean ascent | no rain, light wind | fog but fine | thunder far away
  clouds coming in | fifi hook dropped | portaledge set up | cooking pasta
  water for two days | moving again | next check 9pm
  fixing 9 and 10 then back down to the ledge | coming down tomorrow
  coming down early, all well | bailing, all well | we bail because of weather, everyone fine
  retreat because of rain, all good | letting a faster party pass | party ahead is slow
  cant wait for pizza | cant believe the view | cant complain | could not be better
  dont wait for us | dont worry | not as bad as feared | not bad | getting dark, headlamps on
  it gets better | good luck to greta | bit of a scare but ok | hauling done, ropes flaked
  Mara leads 7 next | ready for 9 | topped out 15:20 | summit
  we fixed two ropes and rapped down | rap lines are clear | second is jugging now
  leader at the anchor | cleaning pitch 4 | Jonas short fixed | slow hauling, bag heavy
  heavy bag | windy ridge | cold wind from the west | sleeping bags dry | hot soup
  sun on the wall now | hot day, drinking lots | got 5 l water from the cache
  food for three days | coffee time | sunset is nice | stars out | early start 4:30
  alarm set for 4 | off at 5:15 | back at base of 6 | at the foot | foot of the wall
  face is dry | head torch on | heads up, loose rock at 5 | hands full, will write later
  right of the corner | left of the roof | back on the ground | all back at the van
  Eis gegessen | am fuß der wand | wand ist trocken | im dunkeln abgeseilt, alles gut
  zurück am auto | sind unten | alle unten | feet dry | hip belay used
  alles bestens, kein stress
`);

it.each(ENGLISH)('“%s” is asked back', (words) => {
  expect(speaksOfTrouble(words)).toBeDefined();
});

it.each(GERMAN)('in German: “%s”', (words) => {
  expect(speaksOfTrouble(words)).toBeDefined();
});

it.each(HARMLESS)('“%s” is taken as it is', (words) => {
  expect(speaksOfTrouble(words)).toBeUndefined();
});

describe('the word is named as it was typed', () => {
  test.each([
    ['all fine but Jonas is VERLETZT', 'VERLETZT'],
    ['ist abgestürzt', 'abgestürzt'],
    ['we can’t   move', 'can’t   move'],
    ['HEEEEELP us', 'HEEEEELP'],
    ['👋 jonas is unconcious', 'unconcious'],
    ['er ist bewußtlos', 'bewußtlos'],
  ])('%s', (words, named) => {
    expect(speaksOfTrouble(words)).toBe(named);
  });
});

it('of a thing that came down on somebody it asks all the same', () => {
  expect(speaksOfTrouble('the haul bag fell')).toBeUndefined();
  expect(speaksOfTrouble('the haul bag fell on Jonas')).toBe('fell');
});

it('who is left out of what is said of nobody is asked after', () => {
  expect(speaksOfTrouble('nobody hurt')).toBeUndefined();
  expect(speaksOfTrouble('nobody hurt except Ines')).toBe('hurt');
  expect(speaksOfTrouble('nobody badly hurt')).toBe('badly');
});
