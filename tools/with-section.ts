/** A page with a section in the place of the one of the same heading, or at the end; all others stay. */
export function withSection(page: string, heading: string, section: string): string {
  const parts = page.split(/\n(?=## )/).map((part) => part.trimEnd());
  const at = parts.findIndex((part) => part === heading || part.startsWith(`${heading}\n`));
  if (at < 0) parts.push(section.trimEnd());
  else parts[at] = section.trimEnd();
  return `${parts.join('\n\n')}\n`;
}

const BEGIN = '<!-- measured: written by a command -->';
const END = '<!-- end of measured -->';

/**
 * A page in whose section of the given heading the text between two marks is the one given; the rest of the section, written by
 * hand, stays. A section without marks gets them first of all, one that is missing is added at the end.
 */
export function withMeasured(page: string, heading: string, text: string): string {
  const own = page.split(/\n(?=## )/).find((part) => part === heading || part.startsWith(`${heading}\n`)) ?? heading;
  const marked = `${BEGIN}\n\n${text.trim()}\n\n${END}`;
  const [from, to] = [own.indexOf(BEGIN), own.indexOf(END)];
  const section =
    from >= 0 && to > from
      ? own.slice(0, from) + marked + own.slice(to + END.length)
      : `${heading}\n\n${marked}\n${own.slice(heading.length)}`;
  return withSection(page, heading, section);
}
