import type { Session } from '@veligrid/api';
import { computed, signal, type ReadonlySignal, type Signal } from '@preact/signals';
import { ask } from '../api/ask.js';
import { houseDefaults } from './settings.js';

/** Who is at the microscope; null until the server has said. */
export const session: Signal<Session | null> = signal(null);

const RANKS = ['viewer', 'counter', 'manager'] as const;

/** Whether the person may do what needs a role. */
function may(role: (typeof RANKS)[number], of: Session | null): boolean {
  const has = of?.role ?? null;
  return has !== null && RANKS.indexOf(has) >= RANKS.indexOf(role);
}

/** Whether the person may decide and sign off. */
export const mayCount: ReadonlySignal<boolean> = computed(() => may('counter', session.value));
/** Whether the person may change rules and settings of the house. */
export const mayManage: ReadonlySignal<boolean> = computed(() => may('manager', session.value));

/** Takes what the server says of the session. */
export function setSession(next: Session): void {
  session.value = next;
  houseDefaults(next.settings);
}

/** Asks the server who is here. */
export async function loadSession(): Promise<void> {
  setSession(await ask<'getSession'>('get', '/session'));
}
