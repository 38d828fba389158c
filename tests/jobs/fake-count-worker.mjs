// the loader of the main thread does not reach worker threads
import { register } from 'tsx/esm/api';

register();
const { default: count } = await import('./fake-count-worker.ts');
export default count;
