import * as photos from './photos.js';
import { lookedAt } from './results.js';
import type { Route } from './route.js';

/** Routes about one photo. */
export const photoRoutes = {
  getPhoto: {
    method: 'get',
    path: '/photos/{photo}',
    role: 'viewer',
    summary: 'One photo',
    answer: photos.photo,
  },
  retryPhoto: {
    method: 'post',
    path: '/photos/{photo}/retry',
    role: 'counter',
    summary: 'Count a failed or cancelled photo again',
    answer: photos.photo,
  },
  cancelPhoto: {
    method: 'post',
    path: '/photos/{photo}/cancel',
    role: 'counter',
    summary: 'Stop counting a photo',
    answer: photos.photo,
  },
  getPyramid: {
    method: 'get',
    path: '/photos/{photo}/pyramid',
    role: 'viewer',
    summary: 'How the picture is cut into squares for deep zoom',
    answer: photos.pyramid,
  },
  getPreview: {
    method: 'get',
    path: '/pictures/{hash}/{page}/preview.jpg',
    role: 'viewer',
    summary: 'Small picture, longer side 1280 px at most; never changes',
    media: 'image/jpeg',
  },
  getTile: {
    method: 'get',
    path: '/pictures/{hash}/{page}/{level}/{column}/{row}',
    role: 'viewer',
    summary: 'One square of the picture; never changes',
    media: 'image/jpeg',
  },
  getDetections: {
    method: 'get',
    path: '/photos/{photo}/detections',
    role: 'viewer',
    summary: 'What was found, before any decision; never changes for one count',
    query: photos.detectionsAsked,
    answer: photos.photoCount,
    etag: true,
  },
  getAudit: {
    method: 'get',
    path: '/photos/{photo}/audit',
    role: 'viewer',
    summary: 'Squares that the program drew for auditing, with what staff saw in them',
    answer: photos.audit,
  },
  tallySquare: {
    method: 'put',
    path: '/photos/{photo}/audit/{square}',
    role: 'counter',
    peopleOnly: true,
    summary: 'Store what a person saw in an audited square',
    body: photos.squareTally,
    answer: photos.audit,
  },
  signPhotoOff: {
    method: 'put',
    path: '/photos/{photo}/looked-at',
    role: 'counter',
    peopleOnly: true,
    summary: 'Sign one photo off',
    body: lookedAt,
    answer: photos.photo,
  },
} as const satisfies Record<string, Route>;
