import { signal, type Signal } from '@preact/signals';

/** A message on screen that screen readers read out. */
export interface Message {
  readonly id: number;
  readonly text: string;
  readonly tone: 'note' | 'trouble';
}

/** Last message; null when it was put away. */
export const message: Signal<Message | null> = signal(null);

/** Notes go away by themselves after this long; trouble stays until put away. */
const NOTE_MS = 6000;
let next = 1;

/** Shows and reads out a message. */
export function announce(text: string, tone: Message['tone'] = 'note'): void {
  const id = next++;
  message.value = { id, text, tone };
  if (tone === 'note')
    setTimeout(() => {
      if (message.value?.id === id) putAway();
    }, NOTE_MS);
}

/** Takes the message off the screen. */
export function putAway(): void {
  message.value = null;
}
