/** Norwegian, and the cries for help of the languages next to it on many walls. */
export const OTHERS: readonly string[] = [
  'skade\\p{L}*|kuttet|smerte\\p{L}*|forstuet|feber|hjelp|ulykke|brukket|bevisstlos|falt|blor|redning\\p{L}*|savnet|i nod',
  'nedkjolt|fryser|forfrosset|sitter(?: [\\p{L}]+){0,3} fast|syk|ambulanse|luftambulanse|utmattet|nodsituasjon',
  'au secours|secours|blesse\\p{L}*|aidez|aiuto|soccorso|ferit[oaie]|incidente|socorro|ayuda|herid[oa]s?|accidente',
];
