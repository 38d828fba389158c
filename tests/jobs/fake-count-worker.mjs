// run from the source, which this process has to be told how to read
import { register } from 'tsx/esm/api';

register();
await import('./fake-count-worker.ts');
