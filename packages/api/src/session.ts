import { z } from 'zod';
import { role, time, words } from './parts.js';
import { settings } from './settings.js';

/** A name to sign in with. */
const login = z.string().trim().min(1).max(100);

/** At least 10 characters; any characters. */
const newPassword = z.string().min(10).max(200);

/** Who is at the microscope, and what the page must show before anything else. */
export const session = z.object({
  /** Null when nobody is signed in, or nobody has said who is at the microscope yet. */
  who: z.string().nullable(),
  /** What the person may do; null when nobody is signed in and accounts exist. */
  role: role.nullable(),
  /** `accounts`: people sign in. `this-machine`: no accounts, everybody at this machine is a manager who gives a name. */
  way: z.enum(['accounts', 'this-machine']),
  /** Accounts are wanted and there is no manager yet: ask for the one-time code on the console. */
  needsFirstManager: z.boolean(),
  /** Show the banner that these are demo counts. */
  demo: z.boolean(),
  settings,
  /** Version of the program. */
  version: z.string(),
});

export const signIn = z.strictObject({ name: login, password: z.string().min(1).max(200) });

/** Who is at the microscope, on a machine without accounts. */
export const atMicroscope = z.strictObject({ name: words });

/** The first manager; the code is printed on the server's console. */
export const firstManager = z.strictObject({
  code: z.string().trim().min(1).max(100),
  name: login,
  password: newPassword,
});

export const newOwnPassword = z.strictObject({ old: z.string().min(1).max(200), new: newPassword });

/** One of the staff. */
export const staffMember = z.object({
  id: z.string(),
  name: z.string(),
  role,
  /** Left the house: can't sign in any more, stays in the records. */
  left: z.boolean(),
  since: time,
});

export const newStaffMember = z.strictObject({ name: login, role, password: newPassword });

export const changedStaffMember = z.strictObject({
  role: role.optional(),
  left: z.boolean().optional(),
  password: newPassword.optional(),
});
