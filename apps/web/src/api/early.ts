/** Requests that were begun before anybody asked, by address; each is taken once. */
const begun = new Map<string, Promise<Response>>();

/** Begins requests that the page is sure to make, so that they don't wait for one another. */
export function beginEarly(addresses: readonly string[]): void {
  for (const address of addresses) {
    const answer = fetch(address, { headers: { accept: 'application/json' } });
    // who takes it learns of the failure; who doesn't needs not
    answer.catch(() => undefined);
    begun.set(address, answer);
  }
}

/** The answer that is on its way, when this was begun early and nobody took it. */
export function takeEarly(address: string): Promise<Response> | undefined {
  const answer = begun.get(address);
  begun.delete(address);
  return answer;
}
