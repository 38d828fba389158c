// the loader of the main thread does not reach worker threads
import { register } from 'tsx/esm/api';

register();
await import('./fake-worker.ts');
