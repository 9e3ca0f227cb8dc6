// biome-ignore lint/suspicious/noControlCharactersInRegex: terminals' colour codes begin with the escape character
const colourCodes = /\u001b\[[0-9;]*[A-Za-z]/g;

/** Text without terminal colours; what a carriage return overwrote is dropped. */
export function plainText(text: string): string {
  return text
    .replace(colourCodes, '')
    .replace(/\r\n/g, '\n')
    .replace(/^.*\r(?!$)/gm, '');
}
