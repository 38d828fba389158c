import { signal, type Signal } from '@preact/signals';
import { readAddress, writeAddress, type Place } from './address.js';

/** Where the person is. */
export const place: Signal<Place> = signal(readAddress(location.hash));

addEventListener('hashchange', () => {
  place.value = readAddress(location.hash);
});

/** Goes to a place, with a step back in the browser. */
export function goTo(next: Place): void {
  location.hash = writeAddress(next);
}

/** Changes the address without a step back: for what is selected, which changes at every key. */
export function stayAt(next: Place): void {
  history.replaceState(null, '', writeAddress(next));
  place.value = next;
}
