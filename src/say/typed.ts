/** A value as it has to be typed after `name:`, in quotes where a terminal needs them. */
export function typedText(value: string): string {
  return /^[^\s"#]+$/u.test(value) ? value : `"${value.replace(/[\\"]/gu, '\\$&')}"`;
}
