export const conditionOption = {
  type: 'string',
  description: 'How they are: hurt unless you know better',
  choices: [
    { name: 'hurt', value: 'hurt' },
    { name: 'not known, or missing', value: 'unknown' },
    { name: 'unhurt, but stuck', value: 'well' },
  ],
} as const;

export const wantsOption = {
  type: 'string',
  description: 'What is wanted',
  choices: [
    { name: 'a call-out by the rescue service', value: 'callout' },
    { name: 'we cope; know of it', value: 'cope' },
  ],
} as const;
