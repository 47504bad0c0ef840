/**
 * Discord's own limits, each with the page of its published reference that states it
 * (discord/discord-api-docs, folder developers/). Lengths are counted in UTF-16 units here, which
 * is never fewer than Discord counts.
 */

/** resources/message.mdx, Create Message. */
export const CONTENT_MAX = 2000;
export const NONCE_MAX = 25;
/** resources/message.mdx, Allowed Mentions Object. */
export const PING_IDS_MAX = 100;
/** resources/message.mdx, Create Message: attachments. */
export const FILES_MAX = 10;
/** resources/message.mdx, Attachment Object: description. */
export const ALT_MAX = 1024;
/** components/reference.mdx, Action Row and Button. */
export const ROWS_MAX = 5;
export const BUTTONS_PER_ROW = 5;
export const BUTTON_LABEL_MAX = 80;
/** components/reference.mdx, custom_id. */
export const CUSTOM_ID_MAX = 100;
/** interactions/receiving-and-responding.mdx, Modal. */
export const MODAL_TITLE_MAX = 45;
export const MODAL_FIELDS_MAX = 5;
/** components/reference.mdx, Label and Text Input. */
export const LABEL_MAX = 45;
export const PLACEHOLDER_MAX = 100;
/** components/reference.mdx, String Select. */
export const SELECT_OPTIONS_MAX = 25;
/** interactions/application-commands.mdx, Application Command Option Choice. */
export const CHOICES_MAX = 25;
export const CHOICE_TEXT_MAX = 100;
/** interactions/application-commands.mdx, Application Command Naming and structure. */
export const COMMANDS_MAX = 100;
export const COMMAND_TEXT_MAX = 8000;
export const OPTIONS_MAX = 25;
export const DESCRIPTION_MAX = 100;
export const STRING_OPTION_MAX = 6000;

/** Our own: a table in a code block stays readable on a phone. */
export const TABLE_WIDTH = 44;
/** Our own: an answer in more messages than this goes out as a text file instead. */
export const MESSAGES_MAX = 3;
