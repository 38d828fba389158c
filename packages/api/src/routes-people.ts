import { z } from 'zod';
import { empty } from './parts.js';
import type { Route } from './route.js';
import * as people from './session.js';
import { changedSettings, settings } from './settings.js';

/** Routes about who is there and how the house likes things. */
export const peopleRoutes = {
  getSession: {
    method: 'get',
    path: '/session',
    role: 'anyone',
    summary: 'Who is at the microscope, and what the page must show first',
    answer: people.session,
  },
  signIn: {
    method: 'post',
    path: '/session',
    role: 'anyone',
    summary: 'Sign in; sets the cookie',
    body: people.signIn,
    answer: people.session,
  },
  sayName: {
    method: 'put',
    path: '/session/name',
    role: 'anyone',
    peopleOnly: true,
    summary: 'Say who is at the microscope, on a machine without accounts',
    body: people.atMicroscope,
    answer: people.session,
  },
  signOut: {
    method: 'delete',
    path: '/session',
    role: 'anyone',
    summary: 'Sign out',
    answer: people.session,
  },
  makeFirstManager: {
    method: 'post',
    path: '/first-manager',
    role: 'anyone',
    summary: 'Become the first manager with the one-time code from the console; signs in',
    body: people.firstManager,
    status: 201,
    answer: people.session,
  },
  changeOwnPassword: {
    method: 'put',
    path: '/session/password',
    role: 'viewer',
    peopleOnly: true,
    summary: 'Change the own password; signs out everywhere else',
    body: people.newOwnPassword,
    answer: empty,
  },
  listStaff: {
    method: 'get',
    path: '/staff',
    role: 'manager',
    summary: 'Staff',
    answer: z.object({ staff: z.array(people.staffMember) }),
  },
  addStaff: {
    method: 'post',
    path: '/staff',
    role: 'manager',
    summary: 'Add one of the staff',
    body: people.newStaffMember,
    status: 201,
    answer: people.staffMember,
  },
  changeStaff: {
    method: 'patch',
    path: '/staff/{staff}',
    role: 'manager',
    summary: 'Change a role, set a new password, or note that somebody left',
    body: people.changedStaffMember,
    answer: people.staffMember,
  },
  getSettings: {
    method: 'get',
    path: '/settings',
    role: 'viewer',
    summary: 'Settings of the house',
    answer: settings,
  },
  changeSettings: {
    method: 'patch',
    path: '/settings',
    role: 'manager',
    summary: 'Change settings of the house',
    body: changedSettings,
    answer: settings,
  },
} as const satisfies Record<string, Route>;
