/**
 * Discord's published limits, each with its page of the reference (docs.discord.com, folder
 * developers/ of discord/discord-api-docs). Written apart from the bot's own list on purpose: a slip
 * in one of them shows up as a refused request. `From memory` marks what no page states.
 */

/** interactions/application-commands.mdx, Application Command Object. */
export const COMMAND = {
  chatInputMax: 100,
  userMax: 15,
  messageMax: 15,
  createsPerDay: 200,
  descriptionMax: 100,
  optionsMax: 25,
  choicesMax: 25,
  choiceNameMax: 100,
  choiceValueMax: 100,
  stringLengthMax: 6000,
  textMax: 8000,
  /** Integers lie between −2^53 and 2^53: same page, Application Command Option Type. */
  integerMax: 2 ** 53,
} as const;

/** interactions/application-commands.mdx, Application Command Naming. */
export const COMMAND_NAME = /^[-_'\p{L}\p{N}\p{sc=Deva}\p{sc=Thai}]{1,32}$/u;

/** interactions/receiving-and-responding.mdx, Interaction Callback and Followup Messages. */
export const INTERACTION = {
  firstAnswerMs: 3_000,
  tokenMs: 15 * 60_000,
  autocompleteMax: 25,
} as const;

/** resources/message.mdx, Create Message, Allowed Mentions Object, Attachment Object. */
export const MESSAGE = {
  contentMax: 2000,
  nonceMax: 25,
  embedsMax: 10,
  stickersMax: 3,
  mentionIdsMax: 100,
  altMax: 1024,
  /** Code 30015; the figure is from memory. */
  filesMax: 10,
  requestBytesMax: 25 * 1024 * 1024,
  /** "In the past few minutes"; the exact span is not given, so a test may set another. */
  nonceMs: 3 * 60_000,
  /** Raised from 50 in 2025; from memory. Code 30003. */
  pinsMax: 250,
} as const;

/** reference.mdx, Uploading Files: the default for every user. */
export const FILE_BYTES_MAX = 20 * 1024 * 1024;

/** resources/message.mdx, Embed Limits. */
export const EMBED = {
  titleMax: 256,
  descriptionMax: 4096,
  fieldsMax: 25,
  fieldNameMax: 256,
  fieldValueMax: 1024,
  footerMax: 2048,
  authorMax: 256,
  allTextMax: 6000,
} as const;

/** components/reference.mdx: Action Row, Button, String Select, Text Input, Label. */
export const COMPONENT = {
  rowsMax: 5,
  buttonsPerRow: 5,
  buttonLabelMax: 80,
  urlMax: 512,
  customIdMax: 100,
  selectOptionsMax: 25,
  selectTextMax: 100,
  selectPlaceholderMax: 150,
  inputMax: 4000,
  inputPlaceholderMax: 100,
  labelMax: 45,
  labelDescriptionMax: 100,
  /** Components Overview: of a message with IS_COMPONENTS_V2, nested ones counted too. */
  allMax: 40,
  allTextMax: 4000,
  /** Media Gallery. */
  mediaMax: 10,
  mediaDescriptionMax: 1024,
} as const;

/** interactions/receiving-and-responding.mdx, Modal. */
export const MODAL = { titleMax: 45, componentsMax: 5 } as const;

/** topics/rate-limits.mdx, Global Rate Limit. */
export const GLOBAL_REQUESTS_PER_S = 50;

/** events/gateway.mdx, Sending Events and Rate Limiting. */
export const GATEWAY = { payloadBytesMax: 4096, sendsMax: 120, sendsWindowMs: 60_000 } as const;
