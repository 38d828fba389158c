/**
 * Why Veligrid can't run on a version of Node, as a sentence that says what to do; undefined when it can. Written in
 * syntax that old versions read too, as they are the ones that need the sentence.
 *
 * @param {string} version such as `20.19.0`
 * @returns {string | undefined}
 */
export function nodeRefusal(version) {
  const [major, minor] = version.split('.').map(Number);
  if (major === 20 && minor >= 19) return undefined;
  return `Veligrid needs Node 20.19 or a later Node 20, but this is Node ${version}. Get one from https://nodejs.org/en/download and try again.`;
}
