/** A page with a section in the place of the one of the same heading, or at the end; all others stay. */
export function withSection(page: string, heading: string, section: string): string {
  const parts = page.split(/\n(?=## )/).map((part) => part.trimEnd());
  const at = parts.findIndex((part) => part === heading || part.startsWith(`${heading}\n`));
  if (at < 0) parts.push(section.trimEnd());
  else parts[at] = section.trimEnd();
  return `${parts.join('\n\n')}\n`;
}
