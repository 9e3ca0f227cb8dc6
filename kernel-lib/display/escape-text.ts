const signs: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };

/** Text made safe inside HTML or SVG, and inside a quoted attribute of them. */
export const escapeText = (text: string): string => text.replace(/[&<>"]/g, (sign) => signs[sign]);
