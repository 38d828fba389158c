export { createApp, type AppOptions } from './app.js';
export type { House } from './house.js';
export { PLAIN_HTTP_WARNING } from './serve-refusal.js';
export { startServer, type RunningServer, type ServerOptions } from './start-server.js';
