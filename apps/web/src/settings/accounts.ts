/** What people may do, the least first. */
export const ROLES = ['viewer', 'counter', 'manager'] as const;

/** Shortest password that the server takes. */
export const SHORTEST = 10;
