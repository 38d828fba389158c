export { openApi } from './openapi.js';
export type { Route, RouteRole } from './route.js';
export { BASE, routes, type AnswerOf, type BodyOf, type QueryOf, type RouteName, type Routes } from './routes.js';
export { countingNotes } from './samples.js';
export type * from './types.js';
