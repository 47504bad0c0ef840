/** How whoever tells it knows; by radio for those who aren't climbing. */
export const howOption = {
  type: 'string',
  description: 'How you know; radio for whoever is not climbing',
  choices: [
    { name: 'said by the party', value: 'self' },
    { name: 'heard by radio', value: 'radio' },
    { name: 'seen', value: 'seen' },
    { name: 'reached by phone', value: 'reached' },
  ],
} as const;

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
